// lobe_figures.hpp: the figures of one lobe in one run (docs/figures.md, docs/measuring.md sections 3 and 4):
// base circle, lift, centreline, taper, flat arc, nose radius. Where a reference stands beside the run its
// lift says where ramps, flanks and nose are; alone, the run's own does.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "analysis/figures.hpp"
#include "analysis/lobe/lobe_on_grid.hpp"
#include "analysis/uncertainty/influence.hpp"

namespace lobewright {

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

BaseCircleFigures base_circle_figures(const LobeView& view);

/// The lobe's largest lift at mid-width with the influence that made its u95.
struct LiftResult {
    double value_mm = 0.0;
    Influence influence;
};
LiftResult largest_lift(const LobeView& view);

/// Cam angle of the centreline (deg, in the view's grid angles) and its influence (grid steps).
struct CentrelineResult {
    double position = 0.0;  // grid
    Influence influence;    // on the grid position
};
CentrelineResult centreline(const LobeView& view);

/// Taper figures; `datum` is the run's front-to-rear zero, or none.
TaperFigures taper_figures(const LobeView& view, const std::optional<DatumInfo>& datum);

/// Taper round the lobe on the grid (mm over the width): absolute with a datum, otherwise less the base
/// circle's.
std::vector<double> taper_curve(const LobeView& view, const std::optional<DatumInfo>& datum);

/// The unbroken arc about the guide's centreline where the taper's size is below `limit_mm`, with u95 from
/// the arcs at the limit plus and minus the taper's own uncertainty. Unknown without a datum.
Measured flat_arc(const LobeView& view, const std::optional<DatumInfo>& datum, double limit_mm);

/// Mean radius of curvature within 10 degrees of the guide's centreline; unknown without the base diameter.
Measured nose_radius(const LobeView& view, const std::optional<double>& base_diameter_mm);

}  // namespace lobewright
