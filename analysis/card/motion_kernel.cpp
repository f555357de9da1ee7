#include "analysis/card/motion_kernel.hpp"

#include <array>
#include <cmath>

#include "analysis/lobe/grid.hpp"
#include "analysis/lobe/lobe_on_grid.hpp"
#include "analysis/lobe/local_polynomial.hpp"

namespace lobewright {
namespace {

// What a polynomial takes off a peak grows with its width to the fourth power, as long as it is narrow beside the peak;
// then slower. By lobes as they are ground (docs/card.md).
constexpr double taken_grows = 3.0;

struct Reach {
    double difference_deg;  // of the plain difference
    // Few and far apart: each is one more chance for noise to choose. The last one only shows what the one before takes.
    std::array<double, 5> polynomial_deg;
    int degree;
};

Reach reach_of(Derivative which) {
    switch (which) {
        case Derivative::velocity:
            return {0.5, {2.0, 4.0, 7.0, 10.0, 14.0}, 3};
        case Derivative::acceleration:
            return {2.0, {4.0, 6.0, 9.0, 13.0, 18.0}, 4};
        case Derivative::jerk:
            break;
    }
    return {4.5, {6.0, 9.0, 13.0, 18.0, 25.0}, 5};
}

constexpr auto steps = static_cast<std::ptrdiff_t>(grid_points);

/// A place on the turn as steps ahead of the first one, or behind it.
std::ptrdiff_t from_first(std::size_t g) {
    const auto ahead = static_cast<std::ptrdiff_t>(g);
    return ahead > steps / 2 ? ahead - steps : ahead;
}

/// The difference, of the polynomial through what lies within so many degrees.
std::vector<double> polynomial_difference(const std::vector<double>& difference, double half_deg,
                                          int degree) {
    const auto half = static_cast<std::size_t>(std::lround(half_deg / deg_of_grid(1.0)));
    std::vector<double> out(grid_points, 0.0);
    for (std::size_t g = 0; g < grid_points; ++g) {
        if (difference[g] == 0.0) continue;
        const auto value =
            local_value_weights(grid_points, 0.0, static_cast<double>(from_first(g)), half, degree);
        for (std::size_t i = 0; i < grid_points; ++i) out[i] += difference[g] * value[i];
    }
    return out;
}

std::vector<MotionKernel> kernels_of(Derivative which) {
    const Reach reach = reach_of(which);
    const auto difference = motion_weights(grid_points, 0, which);
    std::vector<MotionKernel> out{{reach.difference_deg, difference, std::vector<double>(grid_points, 0.0)}};
    auto narrow = polynomial_difference(difference, reach.polynomial_deg[0], reach.degree);
    for (std::size_t i = 1; i < reach.polynomial_deg.size(); ++i) {
        auto wide = polynomial_difference(difference, reach.polynomial_deg[i], reach.degree);
        const double grown = std::pow(reach.polynomial_deg[i] / reach.polynomial_deg[i - 1], taken_grows);
        MotionKernel kernel{reach.polynomial_deg[i - 1], narrow, std::vector<double>(grid_points, 0.0)};
        for (std::size_t g = 0; g < grid_points; ++g) {
            kernel.given_back[g] = (narrow[g] - wide[g]) / (grown - 1.0);
            kernel.weights[g] += kernel.given_back[g];
        }
        out.push_back(std::move(kernel));
        narrow = std::move(wide);
    }
    return out;
}

}  // namespace

std::vector<double> MotionKernel::along(std::span<const double> lift_mm) const {
    std::vector<double> twice(lift_mm.begin(), lift_mm.end());  // so that no place need be wrapped
    twice.insert(twice.end(), lift_mm.begin(), lift_mm.end());
    std::vector<double> out(grid_points, 0.0);
    for (std::size_t i = 0; i < grid_points; ++i) {
        if (weights[i] == 0.0) continue;
        for (std::size_t g = 0; g < grid_points; ++g) out[g] += weights[i] * twice[g + i];
    }
    return out;
}

void MotionKernel::add_weights_at(std::size_t place, double factor, std::vector<double>& to) const {
    for (std::size_t i = 0; i < grid_points; ++i) {
        if (weights[i] != 0.0)
            to[on_turn(static_cast<std::ptrdiff_t>(place) + from_first(i))] += factor * weights[i];
    }
}

const std::vector<MotionKernel>& motion_kernels(Derivative which) {
    static const std::array<std::vector<MotionKernel>, 3> all{
        kernels_of(Derivative::velocity), kernels_of(Derivative::acceleration), kernels_of(Derivative::jerk)};
    return all[static_cast<std::size_t>(which)];
}

}  // namespace lobewright
