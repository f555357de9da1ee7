// local_polynomial.hpp: the highest point of a curve, and its slope, by a polynomial through what lies about it. A wide fit
// lets little noise through; how wide the shape allows is for the caller to find out.
// Source: local polynomial regression (J. Fan, I. Gijbels, "Local Polynomial Modelling and Its Applications", 1996, from
// memory).
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace lobewright {

/// `value` = sum of weights x curve, to first order in changes of the curve (the top's place is where the slope is
/// nought).
struct LocalTop {
    double value = 0.0;
    std::vector<double> weights;  // on the whole curve, sum 1
};

/// The top of the least-squares polynomial of `degree` through the 2 half + 1 points about `near` (a position in steps on
/// a closed curve). The top is sought within half the stretch on either side of `near`.
LocalTop local_top(std::span<const double> curve, double near, std::size_t half, int degree);

/// Weights on a closed curve of `points` whose sum with it is the slope, a step, at the position `at` of the least-squares
/// polynomial of `degree` through the 2 half + 1 points about it.
std::vector<double> local_slope_weights(std::size_t points, double at, std::size_t half, int degree);

/// The same of the polynomial's value at `at`, of the polynomial through the points about the position `about`.
std::vector<double> local_value_weights(std::size_t points, double about, double at, std::size_t half,
                                        int degree);

}  // namespace lobewright
