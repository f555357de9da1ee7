// tip_line.hpp: what a tip reads whose line of travel misses the cam's axis, and how that is taken off.
//
// Beside    the line passes the axis at the distance e in the plane of the lobe (a skew in that plane is an
//           offset and a turn, and the turn is only a phase).
//           Flat tip: nothing to correct; its face stands at h(theta) wherever the stem is, as long as the
//           face is wide enough to hold the contact, which stands h' - e to the side of the stem.
//           Roller or point: a centre at the height y along the line stands at the distance sqrt(y^2 + e^2)
//           from the axis, at the angle psi + atan2(e, y).
// Source    derived (plane geometry).
// Accuracy  1e-14 mm on an eccentric circle read 3 mm beside the axis at half a degree a point; in general
//           that of grid_curve.hpp's values. Shown by tests/analysis/follower_tip_line_test.cpp.
#pragma once

#include <span>

#include "analysis/follower/pitch_curve.hpp"

namespace lobewright {

/// The pitch radius that a roller or point in line would give, from the heights of one that travels beside
/// the axis. `height_mm` (n >= 8, grid round the turn): of the roller's centre along its line, counted from
/// the foot of the perpendicular from the cam's axis; over a heel of base radius b it is height_beside(b + r,
/// e). `offset_mm`: e, positive when the line passes on the side of rising cam angles. The contact map leads
/// from the heights to the radii: at_rad is the angle the tip stood at, gain dR/dy. Throws std::domain_error
/// for heights that aren't positive or finite, for fewer than 8 points, and when the offset is so large that
/// one angle would be met twice (the tip slides over the nose from the side).
PitchCurve pitch_from_line_beside(std::span<const double> height_mm, double offset_mm);

/// Height along a line that passes the axis at `offset_mm` of a point `distance_mm` from the axis.
/// Throws std::domain_error when the line doesn't come that near, |offset| >= distance.
double height_beside(double distance_mm, double offset_mm);

}  // namespace lobewright
