// motion_kernel.hpp: a derivative of the lift by a least-squares polynomial about the place, as wide a one as the shape
// allows: the wider, the less noise it lets through.
//
// Kernel    the difference of follower_motion.hpp taken not of the curve but of the polynomial through what lies about the
//           place: the same mean of the true derivative, with less noise. Degree k + 2 for the k-th derivative.
// Width     what a polynomial takes off a peak is seen by the next wider one, which takes more: as much as their difference
//           promises is given back (L. F. Richardson's extrapolation, 1911, from memory). An acceleration over 9 degrees
//           either side has a tenth of the plain difference's noise and reads a rise of 60 degrees within 0.01 % of it.
// Source    local polynomial regression (J. Fan, I. Gijbels, "Local Polynomial Modelling and Its Applications", 1996, from
//           memory).
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "analysis/follower/follower_motion.hpp"

namespace lobewright {

struct MotionKernel {
    double half_deg = 0.0;           // how far its polynomial looks either side
    std::vector<double> weights;     // on the grid, about its first place
    std::vector<double> given_back;  // the part of them that gives back what the polynomial takes

    /// The derivative at every place of a curve on the grid; mm per rad, rad^2 or rad^3.
    [[nodiscard]] std::vector<double> along(std::span<const double> lift_mm) const;
    /// Adds `factor` times the weights that give it at a place.
    void add_weights_at(std::size_t place, double factor, std::vector<double>& to) const;
};

/// From the plain difference to the widest.
const std::vector<MotionKernel>& motion_kernels(Derivative which);

}  // namespace lobewright
