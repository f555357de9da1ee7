// ground_lobe.hpp: one lobe ground to a target profile: least stock with its u95, what it leaves, and the figures that a
// grinder sets up by (docs/regrind.md).
//
// u95 of the stock is that of the difference target less worn surface at the angle and edge that decide, with the bias of
// a largest value over a noisy curve taken off (extremes.hpp); the shift being the best one, it adds nothing to first
// order unless it stands at the end of what is allowed.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "analysis/figures.hpp"
#include "analysis/lobe/lobe_view.hpp"
#include "analysis/regrind/taper_restored.hpp"
#include "analysis/wear/least_stock.hpp"
#include "analysis/wear/registration.hpp"

namespace lobewright {

/// The profile that a lobe is ground to: lift of the cam's own follower above its base circle, on the used run's grid.
struct TargetLift {
    Outline edges;                           // where the target's own taper is kept
    std::vector<double> mid_mm;              // where another taper is ground
    double centreline = 0.0;                 // grid position
    const RunUncertainty* run = nullptr;     // of the run it was measured in; none: exact
    LobeGeometry geometry;                   // of that run's indicators
    const Registered* registered = nullptr;  // what laid it over the used lobe
    std::optional<Outline> new_surface;      // of this lobe when new, above its base circle
};

struct GrindOrder {
    TaperRestored taper;
    Measured heel_taper_mm;  // of the used lobe; unknown without a front-to-rear zero
    ShiftRange range;        // that keeps the timing within its tolerance
    double indicator_sd_mm = 0.0;
};

/// A lobe as it would be ground.
struct GroundLobe {
    Measured stock_mm;
    double shift_rad = 0.0;  // of the target from where it was laid over the used lobe
    bool shift_at_bound = false;
    double at_deg = 0.0;  // where the stock is decided: used run's angle and edge
    Edge edge = Edge::front;
    double centreline_deg = 0.0;  // of the ground lobe, used run's angles
    double lift_mm = 0.0;         // largest, at mid-width
    double most_above_target_mm =
        0.0;  // that the new surface, or else the worn one, stands above the unmoved target
    bool new_surface_known = false;
    double least_radius_mm =
        0.0;         // smallest of lift + lift'' round the lobe: radius of curvature less base radius
    Outline worn;    // with its heel's taper, mm above the worn base circle at mid-width
    Outline target;  // with its taper, turned, before it is moved inward
};

GroundLobe grind(const TargetLift& target, const LobeView& used, const GrindOrder& order);

/// One line of the grinder's table: mm; lifts above the ground base circle at mid-width.
struct GrindRow {
    double angle_deg = 0.0;  // used run's
    double lift_mm = 0.0;    // at mid-width
    double front_mm = 0.0;
    double rear_mm = 0.0;
    double off_front_mm = 0.0;  // what comes off
    double off_rear_mm = 0.0;
};

/// The table from 0 degrees on, a row every `step_deg`, when the target is moved inward by `depth_mm`.
std::vector<GrindRow> grind_table(const GroundLobe& lobe, double depth_mm, double step_deg);

}  // namespace lobewright
