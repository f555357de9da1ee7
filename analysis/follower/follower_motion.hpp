// follower_motion.hpp: how a follower moves on an outline that is known by its support function, and where a
// flat one touches it (docs/measuring.md section 6).
//
// Input     h(theta), mm, on a uniform grid of n angles round the turn, n >= 8 (pitch_curve.hpp); base radius
//           and roller radius in mm.
// Model     flat: lift = h - base radius.  Roller in line: lift = R - base radius - roller radius, R by
//           pitch_from_support. Velocity, acceleration and jerk are the lift's derivatives by the cam's angle
//           in rad.
// Signs     lift rises as the follower is pushed out; velocity is positive on the opening side when the cam's
//           angle counts in the direction of running.
// Accuracy  at half a degree a point, on h = 20 + 3 cos + cos 2t + 0.2 cos 3t: velocity 3e-12, acceleration
//           1e-9, jerk 3e-7 (mm, rad; tests/analysis/follower_motion_test.cpp). A jump of curvature is drawn
//           out over three steps on either side. Derivatives of a measured h carry its noise: of white noise
//           sigma on the grid's values, step s, 3.5 sigma/s^2 in acceleration and 2.7 sigma/s^3 in jerk.
// Throws    std::domain_error for a base radius that isn't positive, a roller radius below zero, and what
//           pitch_from_support and the grid refuse.
#pragma once

#include <span>
#include <vector>

namespace lobewright {

/// On the grid of the follower's angles.
struct FollowerMotion {
    std::vector<double> lift_mm;
    std::vector<double> velocity_mm_per_rad;
    std::vector<double> acceleration_mm_per_rad2;
    std::vector<double> jerk_mm_per_rad3;
};

FollowerMotion flat_follower_motion(std::span<const double> support_mm, double base_radius_mm);

/// A roller in line with the cam's axis; radius 0 is a knife edge.
FollowerMotion roller_follower_motion(std::span<const double> support_mm, double base_radius_mm,
                                      double roller_radius_mm);

/// Where a flat follower touches, on the grid.
struct FlatContact {
    std::vector<double> offset_mm;  // h': sideways of the follower's axis, towards rising cam angles
    std::vector<double>
        curvature_mm;  // h + h'': radius of curvature of the outline there, 0 at a sharp corner
};

FlatContact flat_contact(std::span<const double> support_mm);

}  // namespace lobewright
