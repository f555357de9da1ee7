// Tips whose line of travel passes beside the cam's axis or leans along the shaft.
#include <cmath>
#include <stdexcept>

#include <catch2/catch.hpp>

#include "analysis/follower/tip_line.hpp"
#include "tests/analysis/follower_outlines.hpp"

using namespace lobewright;
using namespace follower_test;

namespace {

/// Height of a roller on an eccentric circle (centre 4 from the axis at 0 deg, radius and roller 25 together)
/// along a line that passes the axis at e: the circle's centre stands 4 cos above and 4 sin beside it (by
/// Pythagoras).
double height_on_eccentric_circle(double psi, double e) {
    const double across = e + 4.0 * std::sin(psi);
    return 4.0 * std::cos(psi) + std::sqrt(625.0 - across * across);
}

double in_line(double psi) {
    return height_on_eccentric_circle(psi, 0.0);
}

}  // namespace

TEST_CASE("a roller beside the axis reads the same cam once its offset is taken off", "[follower]") {
    for (const double e : {-3.0, -0.2, 0.0, 0.2, 1.0}) {
        CAPTURE(e);
        const auto heights =
            on_grid(half_degrees, [&](double psi) { return height_on_eccentric_circle(psi, e); });
        const auto pitch = pitch_from_line_beside(heights, e);
        CHECK(largest_difference(pitch.radius_mm, on_grid(half_degrees, in_line)) < 1e-12);
    }
    // It matters: left as it is, 0.2 mm beside the axis reads the flank wrong by 0.04 mm.
    CHECK(std::fabs(height_on_eccentric_circle(pi / 2.0, 0.2) - in_line(pi / 2.0)) > 0.03);
}

TEST_CASE("an offset tip's changes carry over by the gain of its map", "[follower]") {
    const double e = 1.0, little_mm = 1e-5;
    const auto change = [](double psi) { return std::cos(3.0 * psi + 0.3); };
    const auto heights =
        on_grid(half_degrees, [&](double psi) { return height_on_eccentric_circle(psi, e); });
    auto moved = heights;
    for (std::size_t g = 0; g < half_degrees; ++g)
        moved[g] += little_mm * change(static_cast<double>(g) * step);
    const auto before = pitch_from_line_beside(heights, e), after = pitch_from_line_beside(moved, e);
    for (std::size_t g = 0; g < half_degrees; ++g) {
        REQUIRE(after.radius_mm[g] - before.radius_mm[g] ==
                Approx(before.contact.gain[g] * little_mm * change(before.contact.at_rad[g])).margin(1e-10));
    }
}

TEST_CASE("height beside the axis is Pythagoras'", "[follower]") {
    CHECK(height_beside(5.0, 3.0) == Approx(4.0).margin(1e-15));
    CHECK(height_beside(5.0, -4.0) == Approx(3.0).margin(1e-15));
    CHECK_THROWS_AS(height_beside(5.0, 5.0), std::domain_error);
}

TEST_CASE("a tip line that misses the cam is refused", "[follower]") {
    const auto heights =
        on_grid(half_degrees, [](double psi) { return height_on_eccentric_circle(psi, 0.0); });
    auto low = heights;
    low[at_deg(30)] = 0.0;
    CHECK_THROWS_WITH(pitch_from_line_beside(low, 0.0), Catch::Contains("at 30.00 deg"));
    // The steep side of a spike stands over a tip far beside the axis: one angle twice.
    const auto spike =
        on_grid(half_degrees, [](double psi) { return 10.0 + 8.0 * std::exp(80.0 * (std::cos(psi) - 1.0)); });
    CHECK_THROWS_WITH(pitch_from_line_beside(spike, -9.0), Catch::Contains("meets the same place twice"));
}
