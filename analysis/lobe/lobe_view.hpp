// lobe_view.hpp: one lobe of one run with everything that its figures are formed from. Where a reference stands beside the
// run its lift says where ramps, flanks and nose are; alone, the run's own does.
#pragma once

#include <string>
#include <vector>

#include "analysis/lobe/lobe_on_grid.hpp"
#include "analysis/uncertainty/influence.hpp"

namespace lobewright {

inline constexpr double grid_per_deg = static_cast<double>(grid_points) / 360.0;
inline constexpr double nose_half_deg = 2.0;  // docs/figures.md: "within 2 cam degrees of the centreline"

/// Where things are on a lobe, as grid positions, from its mid-width lift.
struct LobeLandmarks {
    Peak peak;
    Crossing half;  // half of the largest lift: its middle is the centreline
    Crossing low;   // 20 % of it
    Crossing high;  // 80 % of it
};

/// Throws DataError naming the lobe when its lift is less than 0.2 mm or doesn't come down on both sides.
LobeLandmarks lobe_landmarks(const std::string& name, const std::vector<double>& mid_lift_mm);

/// Everything that the figures of one run need.
struct LobeView {
    const LobeCurve& curve;
    const LobeOnGrid& shape;
    const SinusoidFit& heel;
    LobeGeometry geometry;
    LobeLandmarks own;    // of this run's lift
    LobeLandmarks guide;  // of the reference's lift, or this run's
    const RunUncertainty& run;
    LobeUncertainty all;
    bool reference_run = false;  // the view is of the reference: weights go to its side of an influence
};

/// The side of an influence that the view's own curves have.
CurveWeights& own_side(const LobeView& view, Influence& influence);

}  // namespace lobewright
