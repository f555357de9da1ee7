// Derivatives by wide polynomials: exact where they must be, with less noise, and told where they are too wide.
#include "analysis/card/motion_kernel.hpp"

#include <array>
#include <cmath>
#include <numbers>
#include <numeric>

#include <catch2/catch.hpp>

#include "analysis/lobe/grid.hpp"

using namespace lobewright;

namespace {

constexpr std::array<Derivative, 3> all{Derivative::velocity, Derivative::acceleration, Derivative::jerk};

double noise_of(const MotionKernel& kernel) {
    return std::sqrt(
        std::inner_product(kernel.weights.begin(), kernel.weights.end(), kernel.weights.begin(), 0.0));
}

/// Steps from the first place, over half a turn negative.
double steps_from_first(std::size_t g) {
    return g > grid_points / 2 ? static_cast<double>(g) - static_cast<double>(grid_points)
                               : static_cast<double>(g);
}

}  // namespace

TEST_CASE("every kernel is the plain difference on a polynomial of its degree", "[card]") {
    for (const Derivative which : all) {
        const auto& kernels = motion_kernels(which);
        const int degree = 3 + static_cast<int>(which);
        for (int power = 0; power <= degree; ++power) {
            const auto on = [&](const MotionKernel& kernel) {
                double sum = 0.0;
                for (std::size_t g = 0; g < grid_points; ++g)
                    sum += kernel.weights[g] * std::pow(steps_from_first(g) * rad_per_grid, power);
                return sum;
            };
            for (const MotionKernel& kernel : kernels) {
                CAPTURE(static_cast<int>(which), power, kernel.half_deg);
                CHECK(on(kernel) == Approx(on(kernels.front())).margin(2e-9));
            }
        }
    }
}

TEST_CASE("the wider the kernel, the less noise it lets through", "[card]") {
    for (const Derivative which : all) {
        const auto& kernels = motion_kernels(which);
        CHECK(kernels.size() == 5);
        for (std::size_t i = 1; i < kernels.size(); ++i) {
            CHECK(kernels[i].half_deg > kernels[i - 1].half_deg);
            CHECK(noise_of(kernels[i]) < 0.75 * noise_of(kernels[i - 1]));
        }
    }
    // Nine degrees either side, what is given back included.
    const auto& acceleration = motion_kernels(Derivative::acceleration);
    CHECK(acceleration[3].half_deg == 9.0);
    CHECK(noise_of(acceleration[3]) == Approx(0.1 * noise_of(acceleration.front())).epsilon(0.02));
}

TEST_CASE("a wide kernel reads a rise of 60 degrees as the plain difference does", "[card]") {
    // Of cos 3 t a hat of 2 degrees either side leaves (sin(3 w/2)/(3 w/2))^2, w = 2 degrees (closed form).
    const double half = 1.5 * 2.0 * std::numbers::pi / 180.0;
    const double left = std::pow(std::sin(half) / half, 2);
    const auto& kernels = motion_kernels(Derivative::acceleration);
    for (std::size_t i = 0; i < 4; ++i) {
        CAPTURE(kernels[i].half_deg);
        double sum = 0.0;
        for (std::size_t g = 0; g < grid_points; ++g)
            sum += kernels[i].weights[g] * std::cos(3.0 * steps_from_first(g) * rad_per_grid);
        CHECK(-sum / 9.0 == Approx(left).epsilon(1e-4));
    }
}

TEST_CASE("a kernel's curve is its weights place by place", "[card]") {
    std::vector<double> lift(grid_points);
    for (std::size_t g = 0; g < grid_points; ++g)
        lift[g] = std::exp(2.0 * std::cos(rad_per_grid * static_cast<double>(g)));
    for (const Derivative which : all) {
        for (const MotionKernel& kernel : motion_kernels(which)) {
            const auto along = kernel.along(lift);
            for (const std::size_t g : {std::size_t{0}, std::size_t{3}, std::size_t{400}, std::size_t{719}}) {
                std::vector<double> weights(grid_points, 0.0);
                kernel.add_weights_at(g, 2.0, weights);
                CHECK(0.5 * std::inner_product(weights.begin(), weights.end(), lift.begin(), 0.0) ==
                      Approx(along[g]).epsilon(1e-9).margin(1e-7));
            }
        }
    }
}
