// Derivatives and in-between values of grid curves against functions differentiated by hand.
#include <cmath>
#include <cstdlib>
#include <limits>
#include <stdexcept>

#include <catch2/catch.hpp>

#include "analysis/follower/grid_curve.hpp"
#include "tests/analysis/follower_outlines.hpp"

using namespace lobewright;
using namespace follower_test;

TEST_CASE("grid derivatives of a harmonic are its own, to the stated truncation", "[follower]") {
    for (const std::size_t n : {std::size_t{180}, std::size_t{720}}) {
        const double s = 2.0 * pi / static_cast<double>(n);
        for (const double m : {1.0, 5.0, 12.0}) {
            CAPTURE(n, m);
            const auto values = on_grid(n, [&](double t) { return std::cos(m * t); });
            const auto first = on_grid(n, [&](double t) { return -m * std::sin(m * t); });
            const auto second = on_grid(n, [&](double t) { return -m * m * std::cos(m * t); });
            // Truncation of the header; beside it, what values and grid angles rounded to double precision
            // leave after division by the steps: the sizes of the coefficients sum to 1.9 and 6.1.
            const double rounding = 2.3e-16 * (1.0 + 6.3 * m);
            CHECK(largest_difference(first_derivative(values), first) <
                  std::pow(s, 6) / 140.0 * std::pow(m, 7) + 1.9 * rounding / s);
            CHECK(largest_difference(second_derivative(values), second) <
                  std::pow(s, 6) / 560.0 * std::pow(m, 8) + 6.1 * rounding / (s * s));
        }
    }
}

TEST_CASE("a grid curve holds its function between the grid's angles", "[follower]") {
    const GridCurve curve(
        on_grid(half_degrees, [](double t) { return std::sin(3.0 * t) + 0.2 * std::cos(9.0 * t); }));
    for (const double t : {-7.0, -1e-17, 0.0, 0.0021, 1.0, 3.3, 2.0 * pi - 1e-9, 2.0 * pi, 20.0}) {
        CAPTURE(t);
        const auto at = curve.at(t);
        CHECK(at.value == Approx(std::sin(3.0 * t) + 0.2 * std::cos(9.0 * t)).margin(1e-11));
        CHECK(at.first == Approx(3.0 * std::cos(3.0 * t) - 1.8 * std::sin(9.0 * t)).margin(1e-9));
        CHECK(at.second == Approx(-9.0 * std::sin(3.0 * t) - 16.2 * std::cos(9.0 * t)).margin(1e-6));
    }
}

TEST_CASE("a jump of curvature is felt three steps away and no further, by what is stated", "[follower]") {
    const double jump = 57.0;
    for (const double shift : {0.0, 0.3, 0.5, 0.8}) {
        CAPTURE(shift);
        const double kink = pi + shift * step;
        const auto truth = [&](double t) {
            const double past = t - kink;  // the seam at 0 is far off
            return t < 0.5 || t > 5.5 ? 0.0 : (past > 0.0 ? 0.5 * jump * past * past : 0.0);
        };
        const GridCurve curve(on_grid(half_degrees, truth));
        double near = 0.0, far = 0.0;
        for (int tenth = -1000; tenth < 1000; ++tenth) {
            const double t = kink + 0.1 * tenth * step;
            double& largest = std::abs(tenth) < 40 ? near : far;
            largest = std::fmax(largest, std::fabs(curve.at(t).value - truth(t)));
        }
        CHECK(near < 0.032 * jump * step * step);
        CHECK(near > 0.0);
        CHECK(far < 1e-12);
    }
}

TEST_CASE("an angle finds its place on the grid, any turn", "[follower]") {
    const auto place = grid_place(-0.25 * step, half_degrees);
    CHECK(place.before == half_degrees - 1);
    CHECK(place.fraction == Approx(0.75));
    CHECK(grid_place(-1e-18, half_degrees).before == 0);  // rounds up to a whole turn
    CHECK(grid_place(4.0 * pi + 10.5 * step, half_degrees).before == 10);
}

TEST_CASE("a curve too coarse or with a gap is refused", "[follower]") {
    std::vector<double> values(half_degrees, 15.0);
    values[90] = std::numeric_limits<double>::quiet_NaN();
    CHECK_THROWS_WITH(GridCurve(values), "the curve has no finite value at 45.00 deg; sweep the whole turn");
    CHECK_THROWS_AS(first_derivative(std::vector<double>(7, 1.0)), std::domain_error);
    CHECK_THROWS_AS(second_derivative({}), std::domain_error);
}
