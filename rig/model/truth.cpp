#include "rig/model/truth.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/units.hpp"
#include "rig/model/truth_lobe.hpp"

namespace lobewright {

namespace {

constexpr double ramp_seen_mm = 0.0005;  // a ramp that has risen less may pass for heel

/// Degrees into the event, from either end, within which the new lobe has hardly risen.
double hardly_risen_deg(const LobeModel& model, bool opening) {
    const LobeShape shape(model);
    double deg = 0.0;
    while (deg < 20.0) {
        const double into = deg + 0.1;
        const double from_nose = opening ? into - model.opening_deg : model.closing_deg - into;
        if (shape.lift(rad_from_deg(from_nose)).h > ramp_seen_mm) break;
        deg = into;
    }
    return deg;
}

/// The true base circle first, then other arcs that a program may fairly take for it; cam's own angle.
std::vector<TruthArc> base_circle_arcs(const LobeModel& model) {
    const double from = model.nose_deg + model.closing_deg;
    const double to = model.nose_deg + 360.0 - model.opening_deg;
    const double on_closing = hardly_risen_deg(model, false);
    const double on_opening = hardly_risen_deg(model, true);
    std::vector<TruthArc> arcs;
    const auto add = [&](double later, double earlier) {
        arcs.push_back({rad_from_deg(from + later), rad_from_deg(to - earlier)});
    };
    add(0.0, 0.0);
    add(4.0, 4.0);
    add(8.0, 8.0);
    add(8.0, 0.0);
    add(0.0, 8.0);
    add(-on_closing, -on_opening);
    return arcs;
}

/// Widens each figure's slack to what `other` makes of it.
void widen(LobeTruth& truth, const LobeTruth& other) {
    for (const LobeTruthField& field : lobe_truth_fields()) {
        TrueFigure& figure = truth.*field.figure;
        const double moved = std::fabs((other.*field.figure).value - figure.value);
        if (moved > figure.slack) figure.slack = moved;  // false for NaN: not known in one of them
    }
}

/// The same cam, whose axis doesn't ride up and down in the V-blocks.
CamModel on_round_journals(CamModel cam) {
    for (JournalModel& journal : cam.journals) journal.form.clear();
    return cam;
}

LobeTruth lobe_truth(const CamModel& reference, const RigModel& reference_rig, const CamModel& used,
                     const RigModel& used_rig, const LobeModel& model, double flat_taper_mm) {
    if (!(model.lift_mm > 0.0)) {
        throw DataError(fmt::format("cam model: lobe '{}' has no lift to find figures of", model.lobe.name));
    }
    const EdgeCurves reference_curves = edge_curves(lobe_named(reference, model.lobe.name), reference.info);
    const EdgeCurves used_curves = edge_curves(model, used.info);
    const LobePair pair{model,
                        reference_curves,
                        used_curves,
                        used.info.follower != Follower::roller,
                        used_rig.datum.has_value(),
                        rad_from_deg(reference_rig.index_phase_deg),
                        rad_from_deg(used_rig.index_phase_deg),
                        flat_taper_mm};
    const Station station(used, used_rig, model.lobe.name);
    const Station unmoved_station(on_round_journals(used), used_rig, model.lobe.name);

    LobeTruth truth;
    const std::vector<TruthArc> arcs = base_circle_arcs(model);
    for (const TruthArc& arc : arcs) {
        const bool first = &arc == &arcs.front();
        LobeTruth other = lobe_figures(pair, arc, first);
        const TruthArc run_arc{arc.from_rad + pair.used_phase_rad, arc.to_rad + pair.used_phase_rad};
        base_circle_figures(other, unmoved_station, model.lobe.width_mm, run_arc);
        LobeTruth unmoved_other = other;
        base_circle_figures(other, station, model.lobe.width_mm, run_arc);
        unmoved_other.runout_front_mm = other.runout_front_mm;  // always as swept
        unmoved_other.runout_rear_mm = other.runout_rear_mm;
        if (first) {
            truth = other;
            const double turns = std::floor(run_arc.from_rad / rad_from_deg(360.0)) * 360.0;
            truth.arc_from_deg = deg_from_rad(run_arc.from_rad) - turns;
            truth.arc_to_deg = deg_from_rad(run_arc.to_rad) - turns;
        }
        widen(truth, other);
        widen(truth, unmoved_other);
    }
    truth.stock_to_clean_mm.slack = truth.max_depth_mm.slack;
    return truth;
}

JournalTruth journal_truth(const CamModel& cam, const RigModel& rig, const JournalModel& model) {
    constexpr TruthArc turn{0.0, 2.0 * std::numbers::pi};
    HarmonicSum own;
    for (const Harmonic& harmonic : model.form) own.add(harmonic, 0.0, 1.0);
    const Station station(cam, rig, model.journal.name);
    return {model.journal.name,
            span(values_over(turn, [&](double rad) { return station.readings(rad).front; })),
            span(values_over(turn, [&](double rad) { return own.at(Turned(rad)).middle.h; }))};
}

TrueFigure thrust_share(const CamTruth& truth) {
    double net = 0.0;
    double total = 0.0;
    for (const LobeTruth& lobe : truth.lobes) {
        const double taper_mm = 0.5 * (lobe.taper_opening_mm.value + lobe.taper_closing_mm.value);
        net += taper_mm;
        total += std::fabs(taper_mm);
    }
    return total > 0.0 ? TrueFigure{net / total, 0.0} : TrueFigure{};
}

/// Twice the greatest distance of a journal's axis from the line through the supported ones.
TrueFigure bend(const CamModel& cam) {
    const auto rests = std::count_if(cam.journals.begin(), cam.journals.end(), [](const JournalModel& model) {
        return model.journal.v_angle_deg.has_value();
    });
    if (rests != 2 || cam.journals.size() < 3) return {};
    double most = 0.0;
    for (const JournalModel& model : cam.journals) {
        const AxisOffset offset = axis_offset(cam, model.journal.z_mm);
        most = std::max(most, std::hypot(offset.x_mm, offset.y_mm));
    }
    return {2.0 * most, 0.0};
}

}  // namespace

const std::vector<LobeTruthField>& lobe_truth_fields() {
    static const std::vector<LobeTruthField> fields = {
        {"lift.reference", &LobeTruth::lift_reference_mm},
        {"lift.used", &LobeTruth::lift_used_mm},
        {"lift.loss", &LobeTruth::lift_loss_mm},
        {"nose_deg", &LobeTruth::nose_deg},
        {"phase_shift_deg", &LobeTruth::phase_shift_deg},
        {"base_circle.runout.front", &LobeTruth::runout_front_mm},
        {"base_circle.runout.rear", &LobeTruth::runout_rear_mm},
        {"base_circle.eccentricity", &LobeTruth::eccentricity_mm},
        {"base_circle.form.front", &LobeTruth::form_front_mm},
        {"base_circle.form.rear", &LobeTruth::form_rear_mm},
        {"taper.base", &LobeTruth::taper_base_mm},
        {"taper.opening", &LobeTruth::taper_opening_mm},
        {"taper.nose", &LobeTruth::taper_nose_mm},
        {"taper.closing", &LobeTruth::taper_closing_mm},
        {"wear.max_depth", &LobeTruth::max_depth_mm},
        {"wear.nose_depth", &LobeTruth::nose_depth_mm},
        {"wear.front_nose_depth", &LobeTruth::front_nose_depth_mm},
        {"wear.rear_nose_depth", &LobeTruth::rear_nose_depth_mm},
        {"wear.area", &LobeTruth::area_mm_deg},
        {"wear.volume", &LobeTruth::volume_mm3},
        {"wear.flat_arc_deg", &LobeTruth::flat_arc_deg},
        {"wear.nose_radius.reference", &LobeTruth::nose_radius_reference_mm},
        {"wear.nose_radius.used", &LobeTruth::nose_radius_used_mm},
        {"stock_to_clean", &LobeTruth::stock_to_clean_mm},
    };
    return fields;
}

CamTruth true_figures(const CamModel& reference, const RigModel& reference_rig, const CamModel& used,
                      const RigModel& used_rig, double flat_taper_mm) {
    check(reference);
    check(used);
    CamTruth truth;
    for (const LobeModel& model : used.lobes) {
        truth.lobes.push_back(lobe_truth(reference, reference_rig, used, used_rig, model, flat_taper_mm));
        const TrueFigure& stock_mm = truth.lobes.back().stock_to_clean_mm;
        if (!(stock_mm.value <= truth.stock_to_clean_mm.value)) truth.stock_to_clean_mm = stock_mm;
    }
    for (const JournalModel& model : used.journals)
        truth.journals.push_back(journal_truth(used, used_rig, model));
    if (used_rig.datum) truth.thrust_share = thrust_share(truth);
    truth.bend_mm = bend(used);
    return truth;
}

LobeTruth true_heel(const CamModel& cam, const RigModel& rig, const std::string& lobe, double from_deg,
                    double to_deg, bool axis_measured) {
    const double width_mm = lobe_named(cam, lobe).lobe.width_mm;
    const TruthArc arc{rad_from_deg(from_deg), rad_from_deg(to_deg)};
    LobeTruth truth, own;
    base_circle_figures(truth, Station(cam, rig, lobe), width_mm, arc);
    base_circle_figures(own, Station(on_round_journals(cam), rig, lobe), width_mm, arc);
    truth.name = lobe;
    truth.eccentricity_mm = own.eccentricity_mm;
    truth.eccentricity_deg = own.eccentricity_deg;
    if (!axis_measured) return truth;
    truth.form_front_mm = own.form_front_mm;
    truth.form_rear_mm = own.form_rear_mm;
    return truth;
}

}  // namespace lobewright
