// gaussian_filter.hpp: the Gaussian filter of a closed profile: what of it is waves longer than a cut-off, and what
// is left. Roundness is stated with it (15, 50, 150 undulations a turn; 50 is usual: ISO 12181-2, from memory).
//
// Profile   n values at 2 pi g / n round the turn, any n; any unit, which the result keeps.
// Model     the weight of a point at the distance x along the turn is exp(-pi (x / (alpha lc))^2) / (alpha lc), lc the
//           cut-off's wavelength: the turn over the cut-off in undulations a turn. The weight is wrapped round the
//           turn as often as it reaches, and the weights sum to 1: the mean level passes whole. A wave of f
//           undulations passes by 2^-(f/cut-off)^2, half of it at the cut-off. Linear, without shift of phase.
//           The short-wave part is the profile less the long-wave part.
// Source    ISO 16610-21, linear profile filters: Gaussian filters, closed profiles; the same weight in ISO 11562.
//           From memory, but for alpha = sqrt(ln2/pi) and the transmission, which public texts give; held against
//           numbers from elsewhere in tests/outside/gaussian_filter_test.cpp.
// Accuracy  a wave of f undulations passes as stated but for 2^-((n - f)/cut-off)^2, what sampling folds back: up to the
//           cut-off 2e-11 with seven points a cut-off's wavelength (fewer are refused), rounding from eight on.
// Throws    std::domain_error for a cut-off below 1, fewer than seven points a cut-off's wavelength, and a value
//           that isn't finite.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace lobewright {

/// What of a wave of `undulations` a turn passes into the long-wave part: 2^-(f/fc)^2.
double gaussian_transmission(double undulations, double cutoff_upr);

/// Weights of the filter on a grid of n: element k is the weight of the point k steps ahead, and of the one k steps
/// behind. They sum to 1. `cutoff_upr` in undulations a turn.
std::vector<double> gaussian_weights(std::size_t n, double cutoff_upr);

/// A profile's two parts, whose sum it is.
struct FilteredProfile {
    std::vector<double> long_wave;   // out-of-roundness is read off this one
    std::vector<double> short_wave;  // waviness and roughness
};
FilteredProfile gaussian_filter(std::span<const double> profile, double cutoff_upr);

}  // namespace lobewright
