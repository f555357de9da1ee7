// motion_figures.hpp: how fast a lobe moves its follower, from its curve: greatest velocities, accelerations, jerk, and
// the least radius of curvature about the nose, with u95.
//
// Model     derivatives of the lift at mid-width by follower_motion.hpp. The largest of many noisy values lies too high:
//           what stands within four standard deviations of noise of the top is taken together. As far as noise explains
//           their scatter they are one plateau, whose mean counts; as far as it doesn't, the top is a peak and stays
//           (after W. James and C. Stein 1961, from memory; docs/decisions/plateau-maxima.md). The u95 is that of
//           the weighted sum so stated, and of the shape that noise may hide among those places. tests/coverage shows
//           how often it holds.
// Tables    between rows a curve may wave once in two rows without touching them: a wave of the size that the rows leave
//           open has (pi/row)^k times that size in the k-th derivative.
#pragma once

#include <optional>

#include "analysis/lobe/lobe_view.hpp"
#include "analysis/measured.hpp"

namespace lobewright {

/// mm per rad, rad^2, rad^3.
struct MotionFigures {
    Measured opening_velocity;
    Measured closing_velocity;  // size
    Measured greatest_acceleration;
    Measured least_acceleration;
    Measured greatest_jerk;  // size
    Measured
        least_radius_mm;  // base radius + lift + acceleration between the flanks at half lift; of a flat follower's
                          // lobe, unknown without the base diameter
};

MotionFigures motion_figures(const LobeView& view, const std::optional<double>& base_diameter_mm);

}  // namespace lobewright
