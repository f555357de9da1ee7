// Motion of flat and roller followers against derivatives taken by hand.
#include "analysis/follower/follower_motion.hpp"

#include <cmath>
#include <stdexcept>

#include <catch2/catch.hpp>

#include "tests/analysis/follower_outlines.hpp"

using namespace lobewright;
using namespace follower_test;

TEST_CASE("a flat follower moves as its support function does", "[follower]") {
    const auto motion = flat_follower_motion(support_on_grid(half_degrees, smooth_outline), 18.0);
    const auto lift = on_grid(half_degrees, [](double t) { return smooth_outline(t).h - 18.0; });
    const auto velocity = on_grid(half_degrees, [](double t) { return smooth_outline(t).h1; });
    const auto acceleration = on_grid(half_degrees, [](double t) {
        return -3.0 * std::cos(t) - 4.0 * std::cos(2.0 * t) - 1.8 * std::cos(3.0 * t);
    });
    const auto jerk = on_grid(half_degrees, [](double t) {
        return 3.0 * std::sin(t) + 8.0 * std::sin(2.0 * t) + 5.4 * std::sin(3.0 * t);
    });
    CHECK(largest_difference(motion.lift_mm, lift) < 1e-14);
    CHECK(largest_difference(motion.velocity_mm_per_rad, velocity) < 3e-12);
    CHECK(largest_difference(motion.acceleration_mm_per_rad2, acceleration) < 1e-9);
    CHECK(largest_difference(motion.jerk_mm_per_rad3, jerk) < 3e-7);  // 7 s^4/120 of f^(7) <= 568
}

TEST_CASE("a 4-5-6-7 lobe moves a flat follower by the program's factors", "[follower]") {
    // Factors of the 4-5-6-7 program, derived and numerically verified: at x = 1/2 velocity 2.1875 L/beta and jerk
    // -52.5 L/beta^3; at x = 1/4 lift 0.0705566406 L and acceleration 7.38281250 L/beta^2.
    const double lift = 4.0, beta = 80.0 * degree;
    const auto motion = flat_follower_motion(support_on_grid(half_degrees, lobe_4567), 20.0);
    const std::size_t half = at_deg(140), quarter = at_deg(120);
    CHECK(motion.lift_mm[at_deg(180)] == Approx(lift).margin(1e-13));
    CHECK(motion.lift_mm[quarter] == Approx(0.0705566406 * lift).margin(1e-9));
    CHECK(motion.velocity_mm_per_rad[half] == Approx(2.1875 * lift / beta).margin(1e-9));
    CHECK(motion.velocity_mm_per_rad[at_deg(220)] == Approx(-2.1875 * lift / beta).margin(1e-9));
    CHECK(motion.acceleration_mm_per_rad2[quarter] == Approx(7.38281250 * lift / (beta * beta)).margin(1e-8));
    CHECK(motion.jerk_mm_per_rad3[half] == Approx(-52.5 * lift / (beta * beta * beta)).margin(1e-4));
}

TEST_CASE("a roller on an eccentric circle moves as a crank's slide does", "[follower]") {
    // Distance e cos p + q, q = sqrt(L^2 - e^2 sin^2 p), L = 15 + 10, e = 4: crank e, rod L; differentiated
    // by hand.
    const double e = 4.0, length = 25.0;
    const auto motion = roller_follower_motion(support_on_grid(half_degrees, eccentric_circle), 11.0, 10.0);
    for (std::size_t g = 0; g < half_degrees; ++g) {
        const double p = static_cast<double>(g) * step, s = std::sin(p), c = std::cos(p);
        const double q = std::sqrt(length * length - e * e * s * s);
        REQUIRE(motion.lift_mm[g] == Approx(e * c + q - 21.0).margin(1e-12));
        REQUIRE(motion.velocity_mm_per_rad[g] == Approx(-e * s - e * e * s * c / q).margin(1e-11));
        REQUIRE(motion.acceleration_mm_per_rad2[g] ==
                Approx(-e * c - e * e * (c * c - s * s) / q - std::pow(e * e * s * c, 2) / (q * q * q))
                    .margin(1e-8));
    }
}

TEST_CASE("where a flat follower touches, and on what radius", "[follower]") {
    const auto contact = flat_contact(support_on_grid(half_degrees, smooth_outline));
    const auto offset = on_grid(half_degrees, [](double t) { return smooth_outline(t).h1; });
    const auto radius = on_grid(
        half_degrees, [](double t) { return 20.0 - 3.0 * std::cos(2.0 * t) - 1.6 * std::cos(3.0 * t); });
    CHECK(largest_difference(contact.offset_mm, offset) < 3e-12);
    CHECK(largest_difference(contact.curvature_mm, radius) < 1e-9);
}

TEST_CASE("radii that can't be are refused", "[follower]") {
    const std::vector<double> circle(half_degrees, 15.0);
    CHECK_THROWS_WITH(flat_follower_motion(circle, 0.0),
                      "a base radius of 0 mm can't be; give half the base diameter");
    CHECK_THROWS_AS(roller_follower_motion(circle, -1.0, 10.0), std::domain_error);
    CHECK_THROWS_AS(roller_follower_motion(circle, 15.0, -0.5), std::domain_error);
}
