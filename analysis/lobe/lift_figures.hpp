// lift_figures.hpp: the largest lift of one lobe in one run, and where its centreline stands (docs/figures.md,
// docs/measuring.md section 4), each with the influence that makes its u95.
#pragma once

#include "analysis/lobe/lobe_view.hpp"

namespace lobewright {

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

}  // namespace lobewright
