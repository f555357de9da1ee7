// Intervals, tolerance and agreement of a figure's draws, by hand.
#include "analysis/draws/coverage_interval.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <random>

#include <catch2/catch.hpp>

using namespace lobewright;

namespace {

std::vector<double> counted(std::size_t n) {
    std::vector<double> out(n);
    std::iota(out.begin(), out.end(), 1.0);
    return out;
}

std::vector<double> normal_draws(std::size_t n) {
    std::mt19937_64 engine(5);
    std::normal_distribution<double> normal;
    std::vector<double> out(n);
    for (double& value : out) value = normal(engine);
    return out;
}

}  // namespace

TEST_CASE("the interval's ends are the draws that JCGM 101 7.7 counts to", "[draws]") {
    // q = 95 and r = (100 - 95 + 1) / 2 = 3; q = 190, r = 5; q = 950, r = 25 (rule from memory).
    const auto ends = [](std::size_t n) { return symmetric_interval(counted(n), 0.95); };
    CHECK(ends(100).low == 3.0);
    CHECK(ends(100).high == 98.0);
    CHECK(ends(200).low == 5.0);
    CHECK(ends(200).high == 195.0);
    CHECK(ends(1000).low == 25.0);
    CHECK(ends(1000).high == 975.0);
    CHECK(symmetric_interval(counted(1), 0.95).half_width() == 0.0);
}

TEST_CASE("the shortest interval leaves out the long tail only", "[draws]") {
    auto draws = counted(200);
    for (double& value : draws) value = value * value;
    const auto shortest = shortest_interval(draws, 0.95);
    CHECK(shortest.low == 1.0);
    CHECK(shortest.high == 191.0 * 191.0);
    CHECK(symmetric_interval(draws, 0.95).low == 25.0);
}

TEST_CASE("half of the last significant digit", "[draws]") {
    CHECK(numerical_tolerance(0.0023, 1) == Approx(0.0005));
    CHECK(numerical_tolerance(0.0023, 2) == Approx(0.00005));
    CHECK(numerical_tolerance(0.00096, 1) == Approx(0.0005));  // it is 0.001 then
    CHECK(numerical_tolerance(0.00094, 1) == Approx(0.00005));
    CHECK(numerical_tolerance(0.35, 2) == Approx(0.005));  // JCGM 101 7.9.2: 0.35 mg, from memory
    CHECK(numerical_tolerance(1.0, 1) == Approx(0.5));
    CHECK(numerical_tolerance(0.0, 1) == 0.0);
}

TEST_CASE("u95 that fits agrees; too wide, too narrow or to one side doesn't", "[draws]") {
    const auto draws = normal_draws(2000);
    CHECK(drawn_figure({0.0, 1.96}, draws).agrees());
    // One digit of 0.94 to 1.04 leaves half of it open; smaller figures leave a twentieth.
    auto small = draws;
    for (double& value : small) value *= 0.8;
    CHECK(drawn_figure({0.0, 1.57}, small).agrees());
    CHECK_FALSE(drawn_figure({0.0, 2.0}, small).agrees());
    CHECK_FALSE(drawn_figure({0.0, 1.2}, small).agrees());
    CHECK_FALSE(drawn_figure({0.4, 1.57}, small).agrees());
    CHECK_FALSE(drawn_figure({0.0, 0.0}, small).agrees());
}

TEST_CASE("few draws allow for their own scatter", "[draws]") {
    // 3.291 times sqrt(0.025 x 0.975) / 0.05845 standard deviations over the root of their number.
    const auto few = drawn_figure({0.0, 1.96}, normal_draws(100));
    CHECK(few.allowance == Approx(3.291 * 2.671 * few.sd / 10.0).epsilon(1e-3));
    const auto many = drawn_figure({0.0, 1.96}, normal_draws(10000));
    CHECK(many.allowance == Approx(0.0879).epsilon(0.03));
}

TEST_CASE("draws in which a figure couldn't be known are left out and counted", "[draws]") {
    auto draws = counted(150);
    for (std::size_t i = 0; i < 30; ++i) draws[5 * i] = std::numeric_limits<double>::quiet_NaN();
    CHECK(drawn_figure({75.0, 70.0}, draws).draws == 120);
    CHECK(drawn_figure({}, draws).draws == 0);
    CHECK_FALSE(drawn_figure({}, draws).agrees());
    const auto none =
        drawn_figure({1.0, 1.0}, std::vector<double>(200, std::numeric_limits<double>::quiet_NaN()));
    CHECK(none.draws == 0);
    CHECK_FALSE(none.agrees());
}

TEST_CASE("a figure that is 0 by definition agrees with draws that are all 0", "[draws]") {
    const auto figure = drawn_figure({0.0, 0.0}, std::vector<double>(100, 0.0));
    CHECK(figure.sd == 0.0);
    CHECK(figure.agrees());
}
