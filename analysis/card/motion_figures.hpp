// motion_figures.hpp: how fast a lobe moves its follower, from its curve: greatest velocities, accelerations, jerk, and
// the least radius of curvature about the nose, with u95.
//
// Model     derivatives of the lift at mid-width (motion_kernel.hpp), the greatest of each (greatest_derivative.hpp).
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

/// `view` is best one whose smoothing was given back (lobe_curve.hpp).
MotionFigures motion_figures(const LobeView& view, const std::optional<double>& base_diameter_mm);

}  // namespace lobewright
