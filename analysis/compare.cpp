#include "analysis/compare.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <optional>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/in_parallel.hpp"
#include "analysis/lobe/lobe_figures.hpp"
#include "analysis/support/journals.hpp"
#include "analysis/wear/wear_figures.hpp"

namespace lobewright {
namespace {

constexpr double two_pi = 2.0 * std::numbers::pi;
constexpr double rad_per_grid = two_pi / static_cast<double>(grid_points);
constexpr double balanced_share = 0.2;  // formats.md: `balanced` below 0.2 in size
constexpr double unknown_temperature_k =
    2.0;  // half-width of the difference of two shop days, where not recorded
constexpr std::size_t least_curve_points = 36;

void check_options(const AnalysisOptions& options) {
    if (options.curve_points < least_curve_points) {
        throw UsageError(fmt::format("{} curve points are too few; give at least {}", options.curve_points,
                                     least_curve_points));
    }
}

/// What the lobe was read with and what its lift is to be stated for.
TipToFollower tip_of(const Run& run, const Lobe& lobe, const std::optional<double>& base_diameter_mm) {
    TipToFollower out;
    if (run.rig.tip == Tip::roller) out.tip_radius_mm = run.rig.tip_radius_mm.value_or(0.0);
    if (run.rig.tip == Tip::point) out.tip_radius_mm = 0.0;
    const auto file = (run.folder / "run.toml").string();
    if (run.cam.follower == Follower::roller) {
        if (!run.cam.follower_radius_mm) {
            throw DataError(
                fmt::format("{}: [cam] follower_radius isn't given: lift on a roller can't be stated without "
                            "its radius; add it",
                            file));
        }
        out.follower_radius_mm = run.cam.follower_radius_mm;
    }
    if (!out.differ()) return out;
    if (!base_diameter_mm) {
        throw DataError(
            fmt::format("{}: lobe '{}' has no base_diameter: what a {} tip reads can't be stated for a {} "
                        "follower without it; measure the heel by micrometer and add it",
                        file, lobe.name, word(run.rig.tip), word(run.cam.follower)));
    }
    out.base_radius_mm = 0.5 * *base_diameter_mm;
    return out;
}

const Lobe* find_lobe(const Run& run, const std::string& name) {
    const auto at =
        std::find_if(run.lobes.begin(), run.lobes.end(), [&](const Lobe& l) { return l.name == name; });
    return at == run.lobes.end() ? nullptr : &*at;
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

LobeGeometry geometry_of(const Run& run, double width_mm) {
    return {run.rig.front_z_mm, run.rig.rear_z_mm, width_mm};
}

/// Curves of a run's lobes and what its journals say.
struct PreparedRun {
    const Run* run = nullptr;
    std::vector<JournalCurve> journals;
    AxisMotion motion;
    std::vector<std::optional<LobeCurve>> curves;  // in the run's lobe order
    std::vector<std::string> notes;
};

/// The micrometer's figure, of this run or, where it lacks, of the other run of the same cam.
std::optional<double> base_diameter_of(const Lobe& lobe, const Run* other) {
    if (lobe.base_diameter_mm || other == nullptr) return lobe.base_diameter_mm;
    const Lobe* there = find_lobe(*other, lobe.name);
    return there == nullptr ? std::nullopt : there->base_diameter_mm;
}

std::vector<double> motion_on_grid(const AxisMotion& motion, double z_mm) {
    std::vector<double> out(grid_points);
    for (std::size_t g = 0; g < grid_points; ++g)
        out[g] = motion.at(z_mm, rad_per_grid * static_cast<double>(g));
    return out;
}

/// Half a degree is straight enough: 16 undulations of a micrometre bend by nanometres within it.
void take_motion_off(const std::vector<double>& motion, const std::vector<double>& angle_rad,
                     std::vector<double>& reading_mm) {
    for (std::size_t i = 0; i < angle_rad.size(); ++i) {
        const auto [g, u] = spline_place(angle_rad[i], grid_points);
        reading_mm[i] -= motion[g] + u * (motion[g + 1 == grid_points ? 0 : g + 1] - motion[g]);
    }
}

LobeCurve prepare_lobe(const Run& run, const Lobe& lobe, const AxisMotion& motion,
                       const std::optional<double>& base_diameter_mm) {
    std::vector<CleanSweep> clean;
    for (const auto& sweep : run.sweeps) {
        if (sweep.of == lobe.name) clean.push_back(clean_sweep(sweep, run.rig));
    }
    if (clean.empty()) {
        throw DataError(fmt::format("{}: lobe '{}' has no sweep; sweep it or take it out of run.toml",
                                    run.folder.string(), lobe.name));
    }
    std::vector<double> front_motion, rear_motion;
    if (motion.known()) {
        front_motion = motion_on_grid(motion, lobe.z_mm + run.rig.front_z_mm);
        rear_motion = motion_on_grid(motion, lobe.z_mm + run.rig.rear_z_mm);
        for (auto& sweep : clean) {
            take_motion_off(front_motion, sweep.samples.angle_rad, sweep.samples.front_mm);
            take_motion_off(rear_motion, sweep.samples.angle_rad, sweep.samples.rear_mm);
        }
    }
    LobeCurve curve = fit_lobe_curve(lobe.name, std::move(clean), run.rig);
    curve.tip = tip_of(run, lobe, base_diameter_mm);
    curve.front_motion = std::move(front_motion);
    curve.rear_motion = std::move(rear_motion);
    return curve;
}

PreparedRun prepare_journals(const Run& run) {
    PreparedRun out;
    out.run = &run;
    out.journals = journal_curves(run);
    out.motion = AxisMotion(run, out.journals, out.notes);
    out.curves.resize(run.lobes.size());
    return out;
}

void prepare_lobes(std::vector<PreparedRun>& runs, unsigned threads) {
    std::vector<std::pair<PreparedRun*, std::size_t>> tasks;
    for (auto& prepared : runs) {
        for (std::size_t i = 0; i < prepared.run->lobes.size(); ++i) tasks.emplace_back(&prepared, i);
    }
    in_parallel(tasks.size(), threads, [&](std::size_t t) {
        auto& [prepared, i] = tasks[t];
        try {
            const Lobe& lobe = prepared->run->lobes[i];
            const Run* other = nullptr;
            for (const auto& p : runs) {
                if (&p != prepared) other = p.run;
            }
            prepared->curves[i] =
                prepare_lobe(*prepared->run, lobe, prepared->motion, base_diameter_of(lobe, other));
        } catch (const DataError& error) {
            const std::string text = error.what();
            const auto folder = prepared->run->folder.string();
            throw DataError(text.find(folder) == std::string::npos ? fmt::format("{}: {}", folder, text)
                                                                   : text);
        }
    });
}

double temperature_step(const Run& reference, const Run& used) {
    if (!reference.rig.temperature_c || !used.rig.temperature_c) return unknown_temperature_k;
    return std::abs(*used.rig.temperature_c - *reference.rig.temperature_c);
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
    if (!used.rig.error_limit_mm) {
        out.notes.emplace_back(
            "[rig] error_limit isn't given: u95 carries repeatability only, not the indicators' own error");
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
    const auto used_geometry = geometry_of(used_run, used_lobe.width_mm);
    const auto reference_geometry = geometry_of(reference_run, used_lobe.width_mm);
    const auto registered = register_lobes(reference, used, reference_geometry, used_geometry);
    const SinusoidFit heel(grid_points, registered.heel);
    std::vector<BudgetLine> budget;
    const RunUncertainty used_part(used, registered.used, heel, used_run.rig, 0.0);
    const RunUncertainty reference_part(reference, registered.reference, heel, reference_run.rig,
                                        registered.delta_rad);
    const LobeUncertainty all{&used_part, &reference_part, used_run.datum ? used_run.datum->u_mm : 0.0,
                              temperature_step(reference_run, used_run), &budget};
    const LobeView view{used,
                        registered.used,
                        heel,
                        used_geometry,
                        registered.used_marks,
                        registered.reference_marks,
                        used_part,
                        all,
                        false};
    const LobeView reference_view{reference,
                                  registered.reference,
                                  heel,
                                  reference_geometry,
                                  registered.reference_marks,
                                  registered.reference_marks,
                                  reference_part,
                                  all,
                                  true};
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
    const WearView wear_view{registered,
                             view,
                             reference_view,
                             reference_geometry,
                             used_run.rig.error_limit_mm.value_or(0.0),
                             reference_run.rig.error_limit_mm.value_or(0.0)};
    const auto map = wear_map(wear_view);
    // h + h'' is the surface's radius only where the lift is a flat follower's.
    const auto radius_base = used_run.cam.follower == Follower::roller ? std::nullopt : base_diameter;
    auto wear = wear_figures(wear_view, map, radius_base);
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
    out.budget = std::move(budget);
    return out;
}

LobeFigures inspect_lobe(const LobeCurve& curve, const Lobe& lobe, const Run& run,
                         const AnalysisOptions& options) {
    const auto geometry = geometry_of(run, lobe.width_mm);
    const auto mid = geometry.mid();
    const SinusoidFit heel(grid_points, curve.heel);
    const auto shape = lobe_on_grid(curve, 0.0, heel);
    const auto marks = lobe_landmarks(lobe.name, mixed(shape, mid));
    std::vector<BudgetLine> budget;
    const RunUncertainty part(curve, shape, heel, run.rig, 0.0);
    const LobeUncertainty all{&part, nullptr, run.datum ? run.datum->u_mm : 0.0, 0.0, &budget};
    const LobeView view{curve, shape, heel, geometry, marks, marks, part, all, false};
    LobeFigures out = common_figures(lobe, view, run, options);
    const auto lift = largest_lift(view);
    out.lift.used_mm = all.figure("lift.used", lift.value_mm, lift.influence);
    if (run.cam.follower != Follower::roller) {
        out.wear.nose_radius_used_mm = nose_radius(view, lobe.base_diameter_mm);
    }
    note_hollows(out, shape, "");
    note_unknowns(out, run, lobe.base_diameter_mm);
    append_notes(out.notes, "", curve.notes);
    add_curves(out, view, run.datum, nullptr, options.curve_points);
    out.budget = std::move(budget);
    return out;
}

/// Share of the lobes' tapers that doesn't cancel (formats.md `thrust.share`).
ThrustFigures thrust_of(const std::vector<LobeFigures>& lobes, bool mastered) {
    ThrustFigures out;
    if (!mastered) return out;
    double net = 0.0, total = 0.0;
    bool any = false;
    for (const auto& lobe : lobes) {
        const double taper = 0.5 * (lobe.taper.opening_mm.value + lobe.taper.closing_mm.value);
        const double u = 0.5 * (lobe.taper.opening_mm.u95 + lobe.taper.closing_mm.u95);
        any = any || std::abs(taper) > u;
        net += taper;
        total += std::abs(taper);
    }
    if (!any || !(total > 0.0)) {
        out.pushes = Push::none;
        return out;
    }
    const double share = net / total;
    double u = 0.0;
    for (const auto& lobe : lobes) {
        const double taper = 0.5 * (lobe.taper.opening_mm.value + lobe.taper.closing_mm.value);
        const double u95 = 0.5 * (lobe.taper.opening_mm.u95 + lobe.taper.closing_mm.u95);
        // d share / d taper = (1 - share sign) / total. Datum and indicators are the same for all lobes:
        // their errors go one way, so that the parts add as they are. A taper not proved away from zero may
        // have either sign.
        const double sign = std::abs(taper) <= u95 ? -std::copysign(1.0, share) : std::copysign(1.0, taper);
        u += (1.0 - share * sign) * u95 / total;
    }
    out.share = {share, std::min(u, 2.0)};
    out.pushes = std::abs(share) < balanced_share ? Push::balanced : share > 0.0 ? Push::rear : Push::front;
    return out;
}

void finish_cam(CamFigures& out, const PreparedRun& used) {
    const Run& run = *used.run;
    out.used = run.info;
    out.used_units = run.units;
    out.cam = run.cam;
    out.thrust = thrust_of(out.lobes, run.datum.has_value());
    if (!run.datum) out.notes.emplace_back("thrust isn't known: it needs a front-to-rear zero ([datum])");
    for (const auto& journal : used.journals) {
        out.journals.push_back(journal_figures(journal, used.motion, run.rig.error_limit_mm.value_or(0.0)));
        append_notes(out.notes, "", journal.notes);
    }
    out.bend_mm = bend(used.journals, out.notes);
}

}  // namespace

CamFigures compare_runs(const Run& reference, const Run& used, const AnalysisOptions& options) {
    check_options(options);
    check_same_lobes(reference, used);
    std::vector<PreparedRun> prepared;
    prepared.push_back(prepare_journals(reference));
    prepared.push_back(prepare_journals(used));
    prepare_lobes(prepared, options.threads);
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
    for (const auto& lobe : out.lobes) {
        if (!out.stock_to_clean_mm.known() || lobe.stock_to_clean_mm.value > out.stock_to_clean_mm.value) {
            out.stock_to_clean_mm = lobe.stock_to_clean_mm;
        }
    }
    append_notes(out.notes, "reference", prepared[0].notes);
    append_notes(out.notes, "used", prepared[1].notes);
    finish_cam(out, prepared[1]);
    return out;
}

CamFigures inspect_run(const Run& run, const AnalysisOptions& options) {
    check_options(options);
    std::vector<PreparedRun> prepared;
    prepared.push_back(prepare_journals(run));
    prepare_lobes(prepared, options.threads);
    CamFigures out;
    out.lobes.resize(run.lobes.size());
    in_parallel(run.lobes.size(), options.threads, [&](std::size_t i) {
        out.lobes[i] = inspect_lobe(*prepared[0].curves[i], run.lobes[i], run, options);
    });
    append_notes(out.notes, "", prepared[0].notes);
    finish_cam(out, prepared[0]);
    return out;
}

}  // namespace lobewright
