// One laying of a parallel: its mean, and whether it lay still.
#include "analysis/datum/seating.hpp"

#include <cmath>

#include <catch2/catch.hpp>

#include "rig/model/random.hpp"

using namespace lobewright;

namespace {

constexpr double step_mm = 0.0005;

/// Twenty readings of two indicators with steps of half a micrometre and 0.4 um of noise each, the difference going by
/// `creep_mm` from the first reading to the last.
std::vector<double> laid(Random& random, double creep_mm) {
    std::vector<double> out;
    const auto shown = [](double mm) { return step_mm * std::round(mm / step_mm); };
    for (int i = 0; i < 20; ++i) {
        const double rear_mm = 1.0062 + creep_mm * i / 19.0 + 0.0004 * random.normal();
        out.push_back(shown(rear_mm) - shown(1.0 + 0.0004 * random.normal()));
    }
    return out;
}

int still_of_a_hundred(double creep_mm) {
    Random random(11, 0);
    int still = 0;
    for (int i = 0; i < 100; ++i) still += lay_still(seating_of(laid(random, creep_mm)), step_mm) ? 1 : 0;
    return still;
}

}  // namespace

TEST_CASE("a seating's mean, range and creep, by hand", "[datum]") {
    const Seating seating = seating_of({0.001, 0.003, 0.004, 0.006});
    CHECK(seating.rear_minus_front_mm == Approx(0.0035));
    CHECK(seating.range_mm == Approx(0.005));
    CHECK(seating.creep_mm == Approx(0.003));
    // Each half scatters by sqrt(2) um (two readings 2 um apart): variance 2 um2, of the difference of means 2 (1/2 + 1/2).
    CHECK(seating.u_creep_mm == Approx(0.001 * std::sqrt(2.0)));
    CHECK_THROWS_AS(seating_of({0.0, 0.0, 0.0}), std::domain_error);
}

TEST_CASE("noise of indicators is no moving of the parallel; settling and knocks are", "[datum]") {
    CHECK(still_of_a_hundred(0.0) >= 99);
    CHECK(still_of_a_hundred(0.006) == 0);
    Random random(12, 0);
    auto knocked = laid(random, 0.0);
    knocked[9] += 0.008;
    CHECK_FALSE(lay_still(seating_of(knocked), step_mm));
    CHECK(lay_still(seating_of(std::vector<double>(20, 0.004)), std::nullopt));
    CHECK(lay_still(seating_of(std::vector<double>(20, 0.004)), 0.0));
}
