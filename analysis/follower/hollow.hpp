// hollow.hpp: stretches of an outline that are hollow, as a roller or point tip that follows into them shows:
// no straight edge laid on the outline touches there, so that a flat tip or flat tappet never does.
//
// Model     the pitch curve of a tip that reaches the bottom of a hollow runs parallel to the outline, and so
//           does the straight line that bridges it: the hollow is as deep in the pitch curve as in the
//           outline, whatever the tip's radius. A tip too large for the hollow rides on its two shoulders and
//           shows it too shallow.
// Source    derived (parallel curves keep their normals).
// Accuracy  at half a degree a point, on a smooth hollow 4 um to 1.7 mm deep: depth 1e-9 mm, ends 1e-5 deg.
//           Where shoulders and bottom meet with a jump of curvature, what grid_curve.hpp states for it.
//           Shown by tests/analysis/follower_hollow_test.cpp. Narrower than two grid steps isn't seen.
#pragma once

#include <span>
#include <vector>

#include "analysis/follower/envelope.hpp"

namespace lobewright {

/// One hollow stretch. Angles are the follower's, that is, those at which the tip read it; cam degrees.
struct Hollow {
    double from_deg = 0.0;     // 0 <= from < 360
    double to_deg = 0.0;       // to > from, may pass 360
    double deepest_deg = 0.0;  // between them
    double normal_deg = 0.0;   // outward normal of the straight edge that bridges it
    double depth_mm = 0.0;     // below that edge
};

/// The hollows deeper than `least_depth_mm`, in order of angle, of an envelope formed from a pitch curve in
/// mm. A straight flank read with noise sags here and there by a few standard deviations of it: give a depth
/// above that, or judge each by its own uncertainty.
std::vector<Hollow> hollows_of(const Envelope& pitch, double least_depth_mm);

/// Weights of the hollow's depth on the pitch radius (one a grid point, sum of weight x change in mm = change
/// of depth in mm): up at the shoulders, each with its share of the bridge, down at the deepest point.
/// `pitch_radius_mm` is the curve that the hollow was found on.
std::vector<double> depth_weights(const Hollow& hollow, std::span<const double> pitch_radius_mm);

}  // namespace lobewright
