#include "analysis/follower/grid_curve.hpp"

#include <array>
#include <cmath>
#include <stdexcept>

#include <fmt/format.h>

#include "analysis/constants.hpp"

namespace lobewright {
namespace {

constexpr std::size_t reach = 3;         // neighbours on either side
constexpr std::size_t least_points = 8;  // seven neighbours that are all different, and one more

double step_of(std::size_t n) {
    return two_pi / static_cast<double>(n);
}

void check_grid(std::span<const double> values) {
    if (values.size() < least_points) {
        throw std::domain_error(
            fmt::format("a curve of {} points round the turn is too coarse; give at least {}", values.size(),
                        least_points));
    }
    for (std::size_t g = 0; g < values.size(); ++g) {
        if (!std::isfinite(values[g])) {
            throw std::domain_error(
                fmt::format("the curve has no finite value at {:.2f} deg; sweep the whole turn",
                            360.0 * static_cast<double>(g) / static_cast<double>(values.size())));
        }
    }
}

/// Central difference: `middle` y_0 + sum over k of weight[k-1] (y_k + parity y_-k), times `scale`.
struct Stencil {
    double middle = 0.0;
    std::array<double, reach> weight{};
    double parity = 1.0;
};
constexpr Stencil first_stencil{0.0, {45.0 / 60.0, -9.0 / 60.0, 1.0 / 60.0}, -1.0};
constexpr Stencil second_stencil{-490.0 / 180.0, {270.0 / 180.0, -27.0 / 180.0, 2.0 / 180.0}, 1.0};

std::vector<double> difference(std::span<const double> y, const Stencil& stencil, double scale) {
    const std::size_t n = y.size();
    std::vector<double> out(n);
    const auto sum = [&](std::size_t g, auto&& neighbour) {
        double total = stencil.middle * y[g];
        for (std::size_t k = 1; k <= reach; ++k) {
            total += stencil.weight[k - 1] * (neighbour(g + k) + stencil.parity * neighbour(g + n - k));
        }
        return scale * total;
    };
    const auto across_the_seam = [&](std::size_t index) { return y[index % n]; };
    const auto inside = [&](std::size_t index) { return y[index < n ? index : index - n]; };
    for (std::size_t g = 0; g < reach; ++g) out[g] = sum(g, across_the_seam);
    for (std::size_t g = reach; g + reach < n; ++g) out[g] = sum(g, inside);
    for (std::size_t g = n - reach; g < n; ++g) out[g] = sum(g, across_the_seam);
    return out;
}

}  // namespace

std::vector<double> first_derivative(std::span<const double> values) {
    check_grid(values);
    return difference(values, first_stencil, 1.0 / step_of(values.size()));
}

std::vector<double> second_derivative(std::span<const double> values) {
    check_grid(values);
    const double s = step_of(values.size());
    return difference(values, second_stencil, 1.0 / (s * s));
}

GridCurve::GridCurve(std::span<const double> values)
    : step_rad_(step_of(values.size())),
      value_(values.begin(), values.end()),
      first_(first_derivative(values)),
      second_(second_derivative(values)) {}

CurvePoint GridCurve::within(std::size_t g, double u) const {
    const std::size_t next = g + 1 == value_.size() ? 0 : g + 1;
    const double s = step_rad_;
    const double y0 = value_[g], d0 = s * first_[g], c0 = s * s * second_[g];
    const double d1 = s * first_[next], c1 = s * s * second_[next];
    // What value, slope and second derivative at the far end have more than the parabola of the near end.
    const double a = value_[next] - y0 - d0 - 0.5 * c0, b = d1 - d0 - c0, c = c1 - c0;
    const double p3 = 10.0 * a - 4.0 * b + 0.5 * c;
    const double p4 = -15.0 * a + 7.0 * b - c;
    const double p5 = 6.0 * a - 3.0 * b + 0.5 * c;
    return {y0 + u * (d0 + u * (0.5 * c0 + u * (p3 + u * (p4 + u * p5)))),
            (d0 + u * (c0 + u * (3.0 * p3 + u * (4.0 * p4 + u * 5.0 * p5)))) / s,
            (c0 + u * (6.0 * p3 + u * (12.0 * p4 + u * 20.0 * p5))) / (s * s)};
}

CurvePoint GridCurve::at(double theta_rad) const {
    const auto [before, fraction] = grid_place(theta_rad, value_.size());
    return within(before, fraction);
}

GridPlace grid_place(double theta_rad, std::size_t n) {
    const double steps = static_cast<double>(n);
    double position = theta_rad * (steps / two_pi);
    position -= steps * std::floor(position / steps);
    const auto before = static_cast<std::size_t>(position);
    // A tiny negative angle rounds up to a whole turn.
    return before < n ? GridPlace{before, position - static_cast<double>(before)} : GridPlace{0, 0.0};
}

}  // namespace lobewright
