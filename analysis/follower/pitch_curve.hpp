// pitch_curve.hpp: what a flat, a roller and a point tip read of one outline, each from the other (docs/measuring.md
// section 6). A point is a roller of radius 0.
//
// Curves    on a uniform grid of n angles round the turn, n >= 8, point g at 2 pi g / n; mm, rad.
//           h(theta), the support function: distance of a flat tip's face from the cam's axis; base radius +
//           lift.
//           R(psi), the pitch radius: distance of a roller's centre (a point's end) from the cam's axis, its
//           line of travel through the axis; base radius + tip radius + lift.
//           Both are absolute, so one micrometer figure, the base diameter, is needed.
// Model     a roller of radius r that touches where the outward normal is theta has its centre at distance
//           sqrt((h + r)^2 + h'^2) and at the angle psi = theta + atan2(h', h + r). Equivalently, over the
//           whole curve and without a derivative,
//               h(theta) + r = max over psi of R(psi) cos(psi - theta),
//               1 / R(psi)   = max over theta of cos(psi - theta) / (h(theta) + r).
//           The second is the first for the polar curve 1/(h + r); both are what is computed (envelope.hpp).
// Source    parallel and polar curves of a convex outline: derived, and set beside closed forms and brute
//           force in tests/outside/follower_test.cpp.
// Hollows   a support function knows only the convex hull of the outline. Where a tip followed the outline
//           into a hollow, h is that of the straight bridge, and the hollow is reported. A roller's lift
//           formed from such an h is that over the bridge: a follower small enough to run in the hollow falls
//           by up to its depth more.
// Corners   where h + h'' + r < 0 (noise on a worn flat, a flat tip too narrow to stay on the outline) no
//           outline has such an h; R is then that of the outline inside all the tangents h.
// Accuracy  at half a degree a point, either way and there and back:
//             eccentric circle, tip 0 to 10 mm              1e-14 mm
//             h = 20 + 3 cos + cos 2t + 0.2 cos 3t          3e-13 mm
//             4-5-6-7 lobe, lift 4, least radius 7.9 mm     4e-8 mm by a point, 4e-10 mm by a roller of 10
//             three-arc cam, within 1.5 deg of its joints   2e-4 mm; elsewhere 1e-9 mm
//             sharp corner, slope of the input jumps by K   0.17 K step: 8e-3 mm on a nose worn 0.2 mm flat
//                                                           and read by a point
//           White noise comes out as large as it went in. Shown by tests/outside/follower_test.cpp and
//           tests/analysis/follower_pitch_curve_test.cpp.
// Cost      0.1 ms for n = 720 on one core.
#pragma once

#include <span>
#include <vector>

#include "analysis/follower/contact_map.hpp"
#include "analysis/follower/hollow.hpp"

namespace lobewright {

/// A flat tip's reading found from a roller's or a point's.
struct SupportReading {
    std::vector<double> support_mm;  // h
    ContactMap contact;  // at_rad: psi of the tip that touches there; gain dh/dR = cos(psi - theta)
    std::vector<Hollow> hollows;
};

/// h from R. Hollows deeper than `least_hollow_mm` are reported.
/// h leans on the tip radius r as well: with R held, dh/dr = -1; with the reading held (R = base + r + lift),
/// dh/dr = gain - 1.
/// Throws std::domain_error for a tip radius below zero, for R <= 0 or not finite anywhere, for fewer than 8
/// points, and when the tip is so large that the outline wouldn't hold the cam's axis (h <= 0).
SupportReading support_from_pitch(std::span<const double> pitch_radius_mm, double tip_radius_mm,
                                  double least_hollow_mm = 0.001);

/// A roller's or a point's reading found from a flat tip's.
struct PitchCurve {
    std::vector<double> radius_mm;  // R
    ContactMap contact;  // at_rad: theta of the normal where it touches; gain dR/dh = 1/cos(psi - theta)
};

/// R from h. psi - theta is the pressure angle; tan(psi - theta) = h'/(h + r).
/// Throws std::domain_error for a tip radius below zero, when h + r <= 0 anywhere (the pressure angle would
/// pass 90 degrees), for values that aren't finite, and for fewer than 8 points.
PitchCurve pitch_from_support(std::span<const double> support_mm, double tip_radius_mm);

}  // namespace lobewright
