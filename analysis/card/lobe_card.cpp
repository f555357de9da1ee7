#include "analysis/card/lobe_card.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "analysis/card/motion_figures.hpp"
#include "analysis/card/top_place.hpp"
#include "analysis/constants.hpp"
#include "analysis/lobe/lift_figures.hpp"

namespace lobewright {
namespace {

/// A crossing's place in cam degrees: a curve too high by e moves it by -e over the slope.
void add_crossing(const LobeView& view, double position, double slope, double factor, Influence& influence) {
    influence.used.add(view.geometry.mid(), point_weights(position), -factor * deg_of_grid(1.0) / slope);
}

CardFigure place(const LobeView& view, double position, const Influence& influence) {
    return card_figure(deg_of_grid(position), view.all.terms(influence));
}

CardDuration duration_at(const LobeView& view, const std::vector<double>& lift, double level_mm) {
    CardDuration out;
    out.lift_mm = level_mm;
    if (!(level_mm < view.own.peak.value)) return out;
    const Crossing at = crossing(lift, view.own.peak.at, level_mm);
    Influence opens, closes, both;
    add_crossing(view, at.opening, at.opening_slope, 1.0, opens);
    add_crossing(view, at.closing, at.closing_slope, 1.0, closes);
    both.add(closes, crank_per_cam);
    both.add(opens, -crank_per_cam);
    out.opens_deg = place(view, at.opening, opens);
    out.closes_deg = place(view, at.closing, closes);
    out.crank_deg = {crank_per_cam * deg_of_grid(at.closing - at.opening), view.all.terms(both).expanded()};
    return out;
}

/// Closing side less opening side about the centreline, crank degrees.
Measured asymmetry(const LobeView& view, const std::vector<double>& lift) {
    if (!(checking_lift_mm < view.own.peak.value)) return {};
    const Crossing at = crossing(lift, view.own.peak.at, checking_lift_mm);
    Influence influence;
    add_crossing(view, at.opening, at.opening_slope, crank_per_cam, influence);
    add_crossing(view, at.closing, at.closing_slope, crank_per_cam, influence);
    const auto middle = centreline(view);
    influence.add(middle.influence, -2.0 * crank_per_cam * deg_of_grid(1.0));
    const double value = at.opening + at.closing - 2.0 * middle.position;
    return {crank_per_cam * deg_of_grid(value), view.all.terms(influence).expanded()};
}

/// From the fitted base circle, over all that isn't heel.
Measured area_under(const LobeView& view, const std::vector<double>& lift) {
    const auto arc = view.heel.arc();
    std::vector<double> weights(grid_points, 0.0);
    for (std::size_t g = 0; g < grid_points; ++g) {
        if (!arc.holds(g, grid_points)) weights[g] = crank_per_cam * deg_of_grid(1.0);
    }
    Influence influence;
    influence.used.add(view.geometry.mid(), weights, 1.0);
    return {weighted_sum(weights, lift), view.all.terms(influence).expanded()};
}

/// Unknown unless it is known to half of itself.
Measured unless_lost(const Measured& figure) {
    return figure.known() && figure.u95 <= 0.5 * std::abs(figure.value) ? figure : Measured{};
}

/// How far out a flat tappet is touched is the velocity in mm per rad.
Measured clearance(const Run& run, const Measured& velocity) {
    const bool known = run.cam.follower != Follower::roller && run.tappet && run.tappet->diameter_mm;
    if (!known || !velocity.known()) return {};
    return {0.5 * *run.tappet->diameter_mm - velocity.value, velocity.u95};
}

void add_motion(LobeCard& out, const Run& run, const LobeView& view, const Lobe& lobe) {
    const MotionFigures motion = motion_figures(view, lobe.base_diameter_mm);
    out.opening_velocity = motion.opening_velocity;
    out.closing_velocity = motion.closing_velocity;
    out.opening_clearance_mm = clearance(run, motion.opening_velocity);
    out.closing_clearance_mm = clearance(run, motion.closing_velocity);
    out.greatest_acceleration = unless_lost(motion.greatest_acceleration);
    out.least_acceleration = unless_lost(motion.least_acceleration);
    out.greatest_jerk = unless_lost(motion.greatest_jerk);
    out.least_radius_mm = unless_lost(motion.least_radius_mm);
    std::vector<std::string_view> lost;
    if (!out.greatest_acceleration.known()) lost.emplace_back("the greatest acceleration");
    if (!out.least_acceleration.known()) lost.emplace_back("the least acceleration");
    if (!out.greatest_jerk.known()) lost.emplace_back("jerk");
    if (!out.least_radius_mm.known() && motion.least_radius_mm.known()) {
        lost.emplace_back("the least radius of curvature");
    }
    if (lost.empty()) return;
    out.notes.push_back(fmt::format(
        "{} can't be known: noise and what the indicators err by leave more than half of it open; more "
        "passes or finer indicators help",
        fmt::join(lost, ", ")));
}

void note_unknowns(LobeCard& out, const LobeView& view) {
    const auto too_high = std::count_if(out.durations.begin(), out.durations.end(),
                                        [](const CardDuration& d) { return !d.crank_deg.known(); });
    if (too_high > 0) out.notes.emplace_back("no duration at a lift that is above its largest");
    const bool opening = out.opening_ramp.height_mm.known(), closing = out.closing_ramp.height_mm.known();
    if (!opening || !closing) {
        const std::string_view sides = opening ? "closing" : closing ? "opening" : "opening or closing";
        out.notes.push_back(
            view.curve.table
                ? "ramps can't be told from a table: its rows lie as far apart as a ramp's even stretch is "
                  "long"
                : fmt::format(
                      "no {} ramp can be told: nowhere does a slow follower keep its velocity for 4 cam "
                      "degrees",
                      sides));
    }
    if (!out.top_deg.known()) {
        out.notes.emplace_back(
            "where the lift is largest can't be told: the top is too flat; the centreline "
            "between the flanks can");
    }
    const bool over = (out.opening_clearance_mm.known() && out.opening_clearance_mm.value < 0.0) ||
                      (out.closing_clearance_mm.known() && out.closing_clearance_mm.value < 0.0);
    if (over) {
        out.notes.emplace_back(
            "the contact runs over the tappet's edge: the lobe is too steep for this "
            "tappet's diameter");
    }
}

}  // namespace

LobeCard lobe_card(const Run& run, const Lobe& lobe, const LobeView& view, const LobeView& sharper,
                   const std::vector<double>& lifts_mm) {
    LobeCard out;
    out.name = lobe.name;
    out.kind = lobe.kind;
    out.cylinder = lobe.cylinder;
    const auto lift = mixed(view.shape, view.geometry.mid());
    const auto top = largest_lift(view);
    out.lift_mm = {top.value_mm, view.all.terms(top.influence).expanded()};
    if (run.valvetrain && run.valvetrain->rocker_ratio) {
        const double ratio = *run.valvetrain->rocker_ratio;
        out.valve_lift_mm = {ratio * out.lift_mm.value, ratio * out.lift_mm.u95};
    }
    const auto middle = centreline(view);
    Influence in_degrees;
    in_degrees.add(middle.influence, deg_of_grid(1.0));
    out.nose_deg = place(view, middle.position, in_degrees);
    const TopPlace at = top_place(view);
    if (std::isfinite(at.position))
        out.top_deg = {deg_of_grid(at.position), deg_of_grid(at.terms.expanded())};
    for (const double level : lifts_mm) out.durations.push_back(duration_at(view, lift, level));
    out.asymmetry_crank_deg = asymmetry(view, lift);
    out.area = area_under(view, lift);
    out.opening_ramp = ramp_figures(view, LobeSide::opening);
    out.closing_ramp = ramp_figures(view, LobeSide::closing);
    add_motion(out, run, sharper, lobe);
    note_unknowns(out, view);
    out.sweep_notes = view.curve.notes;
    return out;
}

}  // namespace lobewright
