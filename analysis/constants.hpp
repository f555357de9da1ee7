// constants.hpp: numbers that more than one formula needs.
#pragma once

#include <numbers>

namespace lobewright {

inline constexpr double two_pi = 2.0 * std::numbers::pi;

/// Half-width of 95 % of a normal distribution, in standard deviations.
inline constexpr double normal_95 = 1.959963984540054;

/// A camshaft of a four-stroke engine turns once in two turns of the crank.
inline constexpr double crank_per_cam = 2.0;

}  // namespace lobewright
