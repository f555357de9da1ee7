// lobe_card.hpp: one lobe's part of a cam's card (docs/card.md).
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "analysis/card/card_figure.hpp"
#include "analysis/card/ramp.hpp"
#include "analysis/lobe/lobe_view.hpp"
#include "analysis/units.hpp"

namespace lobewright {

/// The two lifts at which durations are quoted, 0.006 and 0.050 in (common practice, no source).
inline constexpr double advertised_lift_mm = 0.006 * mm_per_inch;
inline constexpr double checking_lift_mm = 0.050 * mm_per_inch;

/// How long the follower stands above a lift, and where it passes it.
struct CardDuration {
    double lift_mm = 0.0;
    CardFigure opens_deg;   // cam degrees, not wrapped: before the centreline
    CardFigure closes_deg;  // after it
    Measured crank_deg;
    Measured opens_crank_deg;  // crank degrees after top dead centre, negative before; unknown without it
    Measured closes_crank_deg;
};

struct LobeCard {
    std::string name;
    LobeKind kind = LobeKind::other;
    std::optional<std::int64_t> cylinder;
    Measured lift_mm;
    Measured valve_lift_mm;
    CardFigure nose_deg;                  // cam degrees, not wrapped: midway between the flanks at half lift
    Measured top_deg;                     // cam degrees, not wrapped: where the lift is largest
    Measured centreline_crank_deg;        // crank degrees after top dead centre, as the durations' angles
    std::vector<CardDuration> durations;  // in the card's order of lifts
    Measured asymmetry_crank_deg;   // at 1.27 mm: closing side longer than the opening one, about nose_deg
    Measured opening_velocity;      // greatest, mm per rad
    Measured closing_velocity;      // greatest size, mm per rad
    Measured opening_clearance_mm;  // from where a flat tappet is touched farthest out to its edge
    Measured closing_clearance_mm;
    Measured greatest_acceleration;  // mm per rad^2
    Measured least_acceleration;     // mm per rad^2, negative
    Measured greatest_jerk;          // size, mm per rad^3
    Measured least_radius_mm;        // of curvature, about the nose
    Measured area;                   // mm x crank degrees
    RampFigures opening_ramp;
    RampFigures closing_ramp;
    std::vector<std::string> notes;        // what can't be known, and why
    std::vector<std::string> sweep_notes;  // what was noticed while measuring
};

/// The lobe of `view`; how it moves its follower is read off `sharper`, the same lobe with its smoothing given back.
/// Durations at `lifts_mm`. Angles after top dead centre are left unknown.
LobeCard lobe_card(const Run& run, const Lobe& lobe, const LobeView& view, const LobeView& sharper,
                   const std::vector<double>& lifts_mm);

}  // namespace lobewright
