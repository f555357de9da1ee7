// grid.hpp: the uniform grid round the turn on which curves are compared and figures are formed.
#pragma once

#include <cstddef>
#include <vector>

#include "analysis/constants.hpp"
#include "analysis/curve/periodic_spline.hpp"
#include "analysis/curve/sinusoid.hpp"

namespace lobewright {

/// Half a degree.
inline constexpr std::size_t grid_points = 720;
inline constexpr double rad_per_grid = two_pi / static_cast<double>(grid_points);

/// Values of a spline on the grid, at angles 2 pi g / grid_points + offset.
std::vector<double> on_grid(const PeriodicSpline& spline, double offset_rad = 0.0);

/// Whether an arc of the grid holds this angle.
bool on_arc(const GridArc& arc, double theta_rad);

}  // namespace lobewright
