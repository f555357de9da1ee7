// sinusoid.hpp: least squares of  c0 + a cos(theta) + b sin(theta)  on an arc of a uniform grid: the base
// circle as any in-line tip sees it (docs/measuring.md section 3). Exact for a flat tip, which reads h = R + e
// cos(theta - phi). Source: NIST/SEMATECH e-Handbook (full turn); variances on an arc: derived, and
// held against numbers from elsewhere in tests/outside/circle_fit_test.cpp.
#pragma once

#include <array>
#include <cstddef>
#include <span>

namespace lobewright {

/// An arc of a uniform grid of n points round the turn: `count` points from `first` on, wrapping.
struct GridArc {
    std::size_t first = 0;
    std::size_t count = 0;

    [[nodiscard]] bool holds(std::size_t index, std::size_t n) const {
        return (index + n - first) % n < count;
    }
};

/// The fit, in the values' unit, and its unscaled covariance (times the variance of independent values).
struct Sinusoid {
    double c0 = 0.0;
    double a = 0.0;
    double b = 0.0;

    [[nodiscard]] double at(double theta_rad) const;
};

/// The linear operator of that fit for one arc: from values to (c0, a, b), and its adjoint.
class SinusoidFit {
public:
    /// `n` points round the turn, at 2 pi g / n. Throws std::domain_error for an arc of fewer than 4 points.
    SinusoidFit(std::size_t n, GridArc arc);

    /// Fits values given on the whole grid; only the arc is read.
    [[nodiscard]] Sinusoid fit(std::span<const double> values) const;

    /// values - fit, on the whole grid.
    void remove(std::span<double> values) const;

    /// Adjoint of `remove`: turns weights on values less their fit into weights on the values themselves.
    void remove_adjoint(std::span<double> weights) const;

    /// Adds to `weights` (on the values) the functional p . (c0, a, b).
    void add_parameter_weights(const std::array<double, 3>& p, std::span<double> weights) const;

    /// (X'X)^-1 of the arc: the covariance of (c0, a, b) for independent values of unit variance.
    [[nodiscard]] const std::array<std::array<double, 3>, 3>& covariance() const { return inverse_; }
    [[nodiscard]] GridArc arc() const { return arc_; }
    [[nodiscard]] std::size_t points() const { return n_; }

private:
    std::size_t n_;
    GridArc arc_;
    std::array<std::array<double, 3>, 3> inverse_{};
};

/// cos and sin of the n grid angles, computed once for each n in use.
struct GridAngles {
    std::span<const double> cosine;
    std::span<const double> sine;
};
GridAngles grid_angles(std::size_t n);

}  // namespace lobewright
