// A smoothing given back once, against what it must do to a harmonic.
#include <array>
#include <cmath>
#include <numbers>
#include <vector>

#include <catch2/catch.hpp>

#include "analysis/curve/periodic_spline.hpp"

using namespace lobewright;

namespace {

constexpr std::size_t knots = 180;
constexpr std::size_t rows = 720;

SplineSystem sampled(int harmonic) {
    SplineSystem system(knots, 1);
    for (std::size_t i = 0; i < rows; ++i) {
        const double t = 2.0 * std::numbers::pi * static_cast<double>(i) / static_cast<double>(rows);
        system.add(spline_site(t, knots), 1.0, std::array{std::cos(harmonic * t)});
    }
    return system;
}

/// What is left of the harmonic: even rows and knots keep its shape, so that its top tells.
double left_of(const SplineSystem& system, const SplineSolver& solver) {
    return solver.fit(system, 0).value(0.0);
}

}  // namespace

TEST_CASE("given back once, a harmonic loses the square of what smoothing takes", "[spline]") {
    // Even rows make all matrices circulant: a harmonic keeps s = g/(g + lambda p), g and p its eigenvalues of G and P, and
    // the second round gives s of the rest: 1 - (1 - s)^2 (Tukey's twicing). What the knots themselves can't hold, e, is
    // seen where nothing is smoothed.
    const double lambda = 3e-5;
    for (const int harmonic : {2, 8, 20, 35}) {
        CAPTURE(harmonic);
        const SplineSystem system = sampled(harmonic);
        const double held = left_of(system, SplineSolver(system, 0.0));
        const SplineSolver plain(system, lambda);
        const double kept = left_of(system, plain) / held;
        REQUIRE(kept < 1.0);
        CHECK(left_of(system, plain.given_back()) / held ==
              Approx(1.0 - (1.0 - kept) * (1.0 - kept)).epsilon(1e-10));
    }
}

TEST_CASE("given back once, the bias stated is what smoothing takes off what it took", "[spline]") {
    const SplineSystem system = sampled(20);
    const SplineSolver plain(system, 3e-5);
    const PeriodicSpline curve = SplineSolver(system, 0.0).fit(system, 0);
    const auto once = plain.smoothing_bias(curve);
    const auto twice = plain.smoothing_bias(PeriodicSpline(once));
    const auto stated = plain.given_back().smoothing_bias(curve);
    for (std::size_t j = 0; j < knots; ++j) CHECK(stated[j] == Approx(twice[j]).margin(1e-14));
    // And it is what the fit lacks.
    const PeriodicSpline fit = plain.given_back().fit(system, 0);
    for (std::size_t j = 0; j < knots; ++j) {
        CHECK(curve.coefficients()[j] - fit.coefficients()[j] == Approx(twice[j]).margin(1e-12));
    }
}

TEST_CASE("given back once, noise grows by what the weights say", "[spline]") {
    // Of white noise a harmonic's variance is s^2 over that of the unsmoothed; given back, s becomes s (2 - s).
    const SplineSystem system = sampled(0);
    const SplineSolver bare(system, 0.0), plain(system, 3e-5);
    std::vector<double> weights(knots);
    for (std::size_t j = 0; j < knots; ++j)
        weights[j] =
            std::cos(20.0 * 2.0 * std::numbers::pi * static_cast<double>(j) / static_cast<double>(knots));
    const double all = bare.variance(system, weights);
    const double kept = std::sqrt(plain.variance(system, weights) / all);
    CHECK(std::sqrt(plain.given_back().variance(system, weights) / all) ==
          Approx(kept * (2.0 - kept)).epsilon(1e-10));
    // Two curves solved together are those solved one by one.
    const auto rhs = system.rhs(0);
    const auto both = plain.given_back().solve_both(rhs, weights);
    CHECK(both[0] == plain.given_back().solve(rhs));
    CHECK(both[1] == plain.given_back().solve(weights));
}
