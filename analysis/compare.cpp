#include "analysis/compare.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include <fmt/format.h>

#include "analysis/along/along_cam.hpp"
#include "analysis/datum/datum_findings.hpp"
#include "analysis/errors.hpp"
#include "analysis/in_parallel.hpp"
#include "analysis/lobe/base_circle_figures.hpp"
#include "analysis/lobe/lift_figures.hpp"
#include "analysis/lobe/lobe_alone.hpp"
#include "analysis/lobe/nose_radius.hpp"
#include "analysis/lobe/taper_figures.hpp"
#include "analysis/prepared_run.hpp"
#include "analysis/sisters/sisters.hpp"
#include "analysis/support/axis_curve.hpp"
#include "analysis/thrust.hpp"
#include "analysis/wear/lobe_pair.hpp"
#include "analysis/wear/same_cam.hpp"
#include "analysis/wear/wear_figures.hpp"

namespace lobewright {
namespace {

constexpr std::size_t least_curve_points = 36;

void check_options(const AnalysisOptions& options) {
    if (options.curve_points < least_curve_points) {
        throw UsageError(fmt::format("{} curve points are too few; give at least {}", options.curve_points,
                                     least_curve_points));
    }
}

void check_same_lobes(const Run& reference, const Run& used) {
    const auto refuse = [](const std::string& lobe, const Run& has, const Run& lacks) {
        throw DataError(fmt::format("lobe '{}' stands in {} only, not in {}; compare runs of one cam", lobe,
                                    has.folder.string(), lacks.folder.string()));
    };
    for (const auto& lobe : used.lobes) {
        if (find_lobe(reference, lobe.name) == nullptr) refuse(lobe.name, used, reference);
    }
    for (const auto& lobe : reference.lobes) {
        if (find_lobe(used, lobe.name) == nullptr) refuse(lobe.name, reference, used);
    }
}

void add_curves(LobeFigures& out, const LobeView& view, const std::optional<DatumInfo>& datum,
                const WearMap* map, std::size_t points) {
    const auto front = mixed(view.shape, view.geometry.front_edge()),
               rear = mixed(view.shape, view.geometry.rear_edge());
    const auto taper = taper_curve(view, datum);
    for (std::size_t i = 0; i < points; ++i) {
        const double at = static_cast<double>(i * grid_points) / static_cast<double>(points);
        out.curves.angle_deg.push_back(deg_of_grid(at));
        out.curves.front_mm.push_back(value_at(front, at));
        out.curves.rear_mm.push_back(value_at(rear, at));
        out.curves.taper_mm.push_back(value_at(taper, at));
        if (map == nullptr) continue;
        out.curves.wear_front_mm.push_back(value_at(map->front_mm, at));
        out.curves.wear_rear_mm.push_back(value_at(map->rear_mm, at));
    }
}

void note_unknowns(LobeFigures& out, const Run& used, const std::optional<double>& base_diameter_mm) {
    if (!used.datum) {
        out.notes.emplace_back(
            "no front-to-rear zero ([datum]): taper is stated relative to the base circle's, its size and "
            "the flat arc "
            "can't be known");
    }
    if (used.cam.follower == Follower::roller) {
        out.notes.emplace_back("volume and nose radius are stated for flat followers only");
    } else if (!base_diameter_mm) {
        out.notes.emplace_back("base_diameter isn't given: volume and nose radius can't be known");
    }
    if (used.rig.tip == Tip::roller && used.rig.tip_radius_mm) {
        out.notes.push_back(fmt::format(
            "a roller tip of {:g} mm radius doesn't reach the bottom of a hollow of a smaller radius",
            *used.rig.tip_radius_mm));
    }
    if (!used.rig.error_limit_mm) {
        out.notes.emplace_back(
            "[rig] error_limit isn't given: u95 carries repeatability only, not the indicators' own error");
    }
}

void add_wear_u95(LobeCurves& curves, const WearView& view, std::size_t each) {
    curves.wear_u95_each = each;
    const double per_point = static_cast<double>(grid_points) / static_cast<double>(curves.angle_deg.size());
    for (std::size_t i = 0; i < curves.angle_deg.size(); i += each) {
        const double at = static_cast<double>(i) * per_point;
        curves.wear_front_u95_mm.push_back(wear_u95_at(view, Edge::front, at));
        curves.wear_rear_u95_mm.push_back(wear_u95_at(view, Edge::rear, at));
    }
}

/// The deepest hollow that a round tip fell into: no flat tappet touches there.
void note_hollows(LobeFigures& out, const LobeOnGrid& shape, const std::string& label) {
    if (shape.hollows.empty()) return;
    const auto deepest =
        std::max_element(shape.hollows.begin(), shape.hollows.end(),
                         [](const Hollow& a, const Hollow& b) { return a.depth_mm < b.depth_mm; });
    out.notes.push_back(
        fmt::format("{}hollow from {:.0f} to {:.0f} deg, {:.3f} mm deep: a flat tappet bridges it, and the "
                    "stock to clean up doesn't count it",
                    label, wrapped_deg(deepest->from_deg), wrapped_deg(deepest->to_deg), deepest->depth_mm));
}

void append_notes(std::vector<std::string>& to, const std::string& label,
                  const std::vector<std::string>& from) {
    for (const auto& text : from) to.push_back(label.empty() ? text : fmt::format("{}, {}", label, text));
}

LobeFigures common_figures(const Lobe& lobe, const LobeView& view, const Run& used,
                           const AnalysisOptions& options) {
    LobeFigures out;
    out.name = lobe.name;
    out.kind = lobe.kind;
    out.base_circle = base_circle_figures(view);
    const auto middle = centreline(view);
    const auto nose = view.all.figure("nose_deg", middle.position, middle.influence, deg_of_grid(1.0));
    out.nose_deg = {wrapped_deg(nose.value), nose.u95};
    out.taper = taper_figures(view, used.datum);
    out.wear.flat_arc_deg = flat_arc(view, used.datum, options.flat_taper_mm);
    return out;
}

LobeFigures compare_lobe(const LobeCurve& reference, const LobeCurve& used, const Lobe& reference_lobe,
                         const Lobe& used_lobe, const Run& reference_run, const Run& used_run,
                         const AnalysisOptions& options) {
    const LobePair pair({reference, reference_run}, {used, used_run}, used_lobe.width_mm);
    const Registered& registered = pair.registered();
    const LobeView& view = pair.used();
    const LobeView& reference_view = pair.reference();
    const LobeUncertainty& all = pair.all();
    LobeFigures out = common_figures(used_lobe, view, used_run, options);
    const auto lift = largest_lift(view), reference_lift = largest_lift(reference_view);
    out.lift.used_mm = all.figure("lift.used", lift.value_mm, lift.influence);
    out.lift.reference_mm = all.figure("lift.reference", reference_lift.value_mm, reference_lift.influence);
    Influence loss = reference_lift.influence;
    loss.add(lift.influence, -1.0);
    out.lift.loss_mm = all.figure("lift.loss", reference_lift.value_mm - lift.value_mm, loss);
    const auto shift =
        all.figure("phase_shift_deg", registered.delta_rad, registered.delta, deg_from_rad(1.0));
    out.phase_shift_deg = {wrapped_deg(shift.value), shift.u95};

    const auto base_diameter =
        reference_lobe.base_diameter_mm ? reference_lobe.base_diameter_mm : used_lobe.base_diameter_mm;
    const auto map = wear_map(pair.wear());
    // h + h'' is the surface's radius only where the lift is a flat follower's.
    const auto radius_base = used_run.cam.follower == Follower::roller ? std::nullopt : base_diameter;
    auto wear = wear_figures(pair.wear(), map, radius_base);
    wear.figures.flat_arc_deg = out.wear.flat_arc_deg;
    wear.figures.nose_radius_used_mm = nose_radius(view, radius_base);
    wear.figures.nose_radius_reference_mm = nose_radius(reference_view, radius_base);
    out.wear = wear.figures;
    out.stock_to_clean_mm = wear.stock_to_clean_mm;
    out.reference_base_diameter_mm = base_diameter;
    note_unknowns(out, used_run, base_diameter);
    if (used_run.rig.tip == Tip::flat) {
        out.notes.emplace_back(
            "a flat tip sees only the convex hull of the worn surface: the stock to clean up is a lower "
            "bound");
    }
    note_hollows(out, registered.used, "used, ");
    note_hollows(out, registered.reference, "reference, ");
    append_notes(out.notes, "reference", reference.notes);
    append_notes(out.notes, "used", used.notes);
    add_curves(out, view, used_run.datum, &map, options.curve_points);
    if (options.wear_u95_each > 0) add_wear_u95(out.curves, pair.wear(), options.wear_u95_each);
    out.budget = pair.budget();
    return out;
}

/// Holds every lobe against its sisters, which stand in for a reference run.
void add_sisters(CamFigures& out, const PreparedRun& prepared) {
    const Run& run = *prepared.run;
    std::vector<SisterLobe> lobes;
    for (std::size_t i = 0; i < run.lobes.size(); ++i) {
        const LobeAlone alone(*prepared.curves[i], run.lobes[i], run);
        const LobeView& view = alone.view();
        lobes.push_back({run.lobes[i].name, run.lobes[i].kind, mixed(view.shape, view.geometry.mid()),
                         view.own.half.middle(), out.lobes[i].lift.used_mm});
    }
    const auto findings = hold_against_sisters(lobes);
    for (std::size_t i = 0; i < lobes.size(); ++i)
        out.lobes[i].lift.below_sisters_mm = findings[i].below_best_mm;
    append_notes(out.notes, "", sister_notes(lobes, findings, run.units));
}

LobeFigures inspect_lobe(const LobeCurve& curve, const Lobe& lobe, const Run& run,
                         const AnalysisOptions& options) {
    const LobeAlone alone(curve, lobe, run);
    const LobeView& view = alone.view();
    LobeFigures out = common_figures(lobe, view, run, options);
    const auto lift = largest_lift(view);
    out.lift.used_mm = view.all.figure("lift.used", lift.value_mm, lift.influence);
    if (run.cam.follower != Follower::roller) {
        out.wear.nose_radius_used_mm = nose_radius(view, lobe.base_diameter_mm);
    }
    note_hollows(out, view.shape, "");
    note_unknowns(out, run, lobe.base_diameter_mm);
    append_notes(out.notes, "", curve.notes);
    add_curves(out, view, run.datum, nullptr, options.curve_points);
    out.budget = alone.budget();
    return out;
}

void finish_cam(CamFigures& out, const PreparedRun& used) {
    const Run& run = *used.run;
    out.used = run.info;
    out.used_units = run.units;
    out.cam = run.cam;
    out.thrust = thrust_of(out.lobes, run.datum.has_value());
    if (!run.datum) out.notes.emplace_back("thrust isn't known: it needs a front-to-rear zero ([datum])");
    append_notes(out.notes, "", datum_doubts(run, out.lobes));
    for (const auto& journal : used.journals) {
        out.journals.push_back(journal_figures(journal, used.motion, run.rig.error_limit_mm.value_or(0.0)));
        append_notes(out.notes, "", journal.notes);
    }
    out.bend_mm = bend(AxisCurve(run, used.journals), out.notes);
}

}  // namespace

CamFigures compare_runs(const Run& reference, const Run& used, const AnalysisOptions& options) {
    check_options(options);
    check_same_lobes(reference, used);
    const auto prepared =
        prepare_runs({{&reference, options.reference}, {&used, options.used}}, options.threads);
    CamFigures out;
    out.has_reference = true;
    out.reference = reference.info;
    out.lobes.resize(used.lobes.size());
    in_parallel(used.lobes.size(), options.threads, [&](std::size_t i) {
        const Lobe& lobe = used.lobes[i];
        const Lobe* other = find_lobe(reference, lobe.name);
        const auto at = static_cast<std::size_t>(other - reference.lobes.data());
        out.lobes[i] = compare_lobe(*prepared[0].curves[at], *prepared[1].curves[i], *other, lobe, reference,
                                    used, options);
    });
    check_same_cam(out);
    for (const auto& lobe : out.lobes) {
        if (!out.stock_to_clean_mm.known() || lobe.stock_to_clean_mm.value > out.stock_to_clean_mm.value) {
            out.stock_to_clean_mm = lobe.stock_to_clean_mm;
        }
    }
    append_notes(out.notes, "reference", prepared[0].notes);
    append_notes(out.notes, "used", prepared[1].notes);
    append_notes(out.notes, "", along_cam(placed_wear(out, used.lobes), used.units).notes);
    finish_cam(out, prepared[1]);
    return out;
}

CamFigures inspect_run(const Run& run, const AnalysisOptions& options) {
    check_options(options);
    const auto prepared = prepare_runs({{&run, options.used}}, options.threads);
    CamFigures out;
    out.lobes.resize(run.lobes.size());
    in_parallel(run.lobes.size(), options.threads, [&](std::size_t i) {
        out.lobes[i] = inspect_lobe(*prepared[0].curves[i], run.lobes[i], run, options);
    });
    add_sisters(out, prepared[0]);
    append_notes(out.notes, "", prepared[0].notes);
    finish_cam(out, prepared[0]);
    return out;
}

}  // namespace lobewright
