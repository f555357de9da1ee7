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

/// A grid point that may lie turns before or after, on the turn.
inline std::size_t on_turn(std::ptrdiff_t g) {
    constexpr auto n = static_cast<std::ptrdiff_t>(grid_points);
    return static_cast<std::size_t>((g % n + n) % n);
}

/// Values of a spline on the grid, at angles 2 pi g / grid_points + offset.
std::vector<double> on_grid(const PeriodicSpline& spline, double offset_rad = 0.0);

/// Whether an arc of the grid holds this angle.
bool on_arc(const GridArc& arc, double theta_rad);

}  // namespace lobewright
