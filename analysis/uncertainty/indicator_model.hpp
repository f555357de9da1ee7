// indicator_model.hpp: what is taken of an indicator whose maker states no more than its error limit and its step.
#pragma once

#include <array>
#include <cstddef>

namespace lobewright {

/// The travel that an indicator makes on a lobe of this lift: the lift, no less than 0.1 mm.
double indicator_travel_mm(double lift_mm);

/// Correlation of an indicator's error between two readings. The error is taken for a wave of unknown phase with, as
/// likely one as the other, anything from 0.3 to 1.2 swings over the travel; the mean of cos(2 pi k x) over those k is
/// cos(1.5 pi x) sin(0.9 pi x)/(0.9 pi x),  x = d/travel: none between the travel's ends. (Derived.)
double indicator_correlation(double distance_mm, double travel_mm);

/// Variance of the slope of such an error of unit variance, per mm^2: the mean of (2 pi k/travel)^2 over those k. (Derived.)
double indicator_slope_variance(double travel_mm);

/// Harmonics of what rounding leaves that are reckoned with: eight hold 93 % of its variance where no noise shakes it.
inline constexpr std::size_t rounding_count = 8;

/// Amplitudes of the first harmonics, in the reading, of what rounding to a step leaves in the mean of many
/// readings with noise: step/(pi k) exp(-2 pi^2 k^2 sigma^2/step^2), sigma the noise before rounding (B.
/// Widrow, I. Kollar, "Quantization Noise", 2008, from memory). `seen_mm` is the noise as seen, rounding
/// included. From half a step of noise on nothing is left.
std::array<double, rounding_count> rounding_harmonics(double step_mm, double seen_mm);

}  // namespace lobewright
