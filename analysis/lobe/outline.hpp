// outline.hpp: the outline of a lobe, from its lift, for a drawing of it.
//
// Flat       the lift is the outline's support function less the base radius: the point that touches where the
//            follower's face stands at theta is (h cos - h' sin, h sin + h' cos) with h = base radius + lift, and its
//            outward normal points to theta (docs/measuring.md section 6).
// Roller     base radius + roller radius + lift is the radius to the roller's centre; the outline lies the roller's
//            radius inside, along the normal of that pitch curve.
// Accuracy   that of a drawing: derivatives are central differences over 2 degrees either way.
#pragma once

#include <vector>

#include "analysis/run/run.hpp"

namespace lobewright {

/// A point of the outline, mm from the cam's axis, x toward 0 degrees; and where its outward normal points, rad.
struct OutlinePoint {
    double x_mm = 0.0;
    double y_mm = 0.0;
    double normal_rad = 0.0;
};

/// One point for each lift of a uniform grid round the turn that begins at 0 degrees. `cam` says which follower the lift
/// is stated for. Throws std::domain_error for fewer than 36 lifts, a base radius that isn't above zero, or a roller
/// without radius.
std::vector<OutlinePoint> lobe_outline(const std::vector<double>& lift_mm, double base_radius_mm,
                                       const CamInfo& cam);

}  // namespace lobewright
