// Flat readings from roller and point readings and back, on outlines whose readings another route gives:
// closed forms, and bisection on the contact (follower_outlines.hpp). Outside figures:
// tests/outside/follower_test.cpp.
#include <algorithm>
#include <cmath>
#include <limits>
#include <random>
#include <stdexcept>

#include <catch2/catch.hpp>

#include "analysis/follower/pitch_curve.hpp"
#include "tests/analysis/follower_outlines.hpp"

using namespace lobewright;
using namespace follower_test;

TEST_CASE("readings of smooth convex lobes convert to better than a thousandth of a micrometre",
          "[follower]") {
    struct Case {
        const char* name;
        TrueOutline outline;
        double worst_mm;  // of either way and both round trips; in brackets what was measured with r = 0
    };
    const Case cases[] = {{"eccentric circle", eccentric_circle, 5e-14},  // 1.2e-14
                          {"smooth outline", smooth_outline, 1e-12},      // 3.4e-13
                          {"4-5-6-7 lobe", lobe_4567, 5e-8}};  // 3.8e-8, at its least radius of 7.9 mm
    for (const auto& c : cases) {
        for (const double r : {0.0, 1.5, 10.0}) {
            CAPTURE(c.name, r);
            const auto h = support_on_grid(half_degrees, c.outline);
            const auto round = pitch_on_grid(half_degrees, c.outline, r);
            const auto flat = support_from_pitch(round, r);
            const auto back = pitch_from_support(h, r);
            CHECK(largest_difference(flat.support_mm, h) < c.worst_mm);
            CHECK(largest_difference(back.radius_mm, round) < c.worst_mm);
            CHECK(largest_difference(pitch_from_support(flat.support_mm, r).radius_mm, round) < c.worst_mm);
            CHECK(largest_difference(support_from_pitch(back.radius_mm, r).support_mm, h) < c.worst_mm);
            CHECK(flat.hollows.empty());
        }
    }
}

TEST_CASE("conversion gains at least six orders with the grid's fineness", "[follower]") {
    const auto error = [](std::size_t n) {
        const auto round = pitch_on_grid(n, smooth_outline, 0.0);
        return largest_difference(support_from_pitch(round, 0.0).support_mm,
                                  support_on_grid(n, smooth_outline));
    };
    const double coarse = error(90), fine = error(180);
    CHECK(coarse < 1e-6);
    CHECK(coarse > 64.0 * fine);
}

TEST_CASE("the contact is where the outline's own formula puts it", "[follower]") {
    // psi = theta + atan2(h', h + r), taken from the support function's closed form.
    const double r = 10.0;
    const auto flat = support_from_pitch(pitch_on_grid(half_degrees, smooth_outline, r), r);
    for (std::size_t g = 0; g < half_degrees; ++g) {
        const double theta = static_cast<double>(g) * step;
        const SupportAt s = smooth_outline(theta);
        const double pressure = std::atan2(s.h1, s.h + r);
        REQUIRE(flat.contact.at_rad[g] == Approx(theta + pressure).margin(1e-10));
        REQUIRE(flat.contact.gain[g] == Approx(std::cos(pressure)).margin(1e-10));
    }
    const auto round = pitch_from_support(support_on_grid(half_degrees, smooth_outline), r);
    for (std::size_t g = 0; g < half_degrees; ++g) {
        const double psi = static_cast<double>(g) * step, theta = round.contact.at_rad[g];
        const SupportAt s = smooth_outline(theta);
        REQUIRE(theta + std::atan2(s.h1, s.h + r) == Approx(psi).margin(1e-10));
        REQUIRE(round.contact.gain[g] == Approx(1.0 / std::cos(psi - theta)).margin(1e-12));
    }
}

TEST_CASE("one tip's reading can be stated for another round follower", "[follower]") {
    const auto read = pitch_on_grid(half_degrees, lobe_4567, 1.5);
    const auto flat = support_from_pitch(read, 1.5);
    const auto follower = pitch_from_support(flat.support_mm, 10.0);
    CHECK(largest_difference(follower.radius_mm, pitch_on_grid(half_degrees, lobe_4567, 10.0)) < 5e-8);
}

TEST_CASE("a noisy reading comes out no noisier, and a shifted phase only shifted", "[follower]") {
    const double r = 10.0, sigma_mm = 0.0002;
    const auto h = support_on_grid(half_degrees, lobe_4567);
    auto noisy = pitch_on_grid(half_degrees, lobe_4567, r);
    std::mt19937 generator(20240611);
    std::normal_distribution<double> noise(0.0, sigma_mm);
    for (double& value : noisy) value += noise(generator);
    const auto flat = support_from_pitch(noisy, r);
    double squares = 0.0;
    for (std::size_t g = 0; g < half_degrees; ++g) squares += std::pow(flat.support_mm[g] - h[g], 2);
    CHECK(std::sqrt(squares / half_degrees) < 1.1 * sigma_mm);
    CHECK(std::sqrt(squares / half_degrees) > 0.7 * sigma_mm);

    std::rotate(noisy.begin(), noisy.begin() + 123, noisy.end());
    auto turned = support_from_pitch(noisy, r).support_mm;
    std::rotate(turned.begin(), turned.end() - 123, turned.end());
    CHECK(largest_difference(turned, flat.support_mm) < 1e-13);
}

TEST_CASE("a flat reading that no outline can have is read as the outline inside its tangents",
          "[follower]") {
    // A square of half side 10 reads 10 (|cos| + |sin|) by a flat tip. Lift the reading about 45 deg, where
    // it stands on a corner, and nothing changes: the corner still fits inside all tangents.
    auto h = on_grid(half_degrees,
                     [](double t) { return 10.0 * (std::fabs(std::cos(t)) + std::fabs(std::sin(t))); });
    const auto before = pitch_from_support(h, 0.0).radius_mm;
    CHECK(before[at_deg(0)] == Approx(10.0).margin(1e-9));
    // The reading's slope jumps by 20 mm/rad on the square's sides (grid_curve.hpp).
    CHECK(before[at_deg(45)] == Approx(10.0 * std::sqrt(2.0)).margin(0.17 * 20.0 * step));
    for (std::size_t g = at_deg(42); g <= at_deg(48); ++g) h[g] += 0.01;
    CHECK(largest_difference(pitch_from_support(h, 0.0).radius_mm, before) < 1e-12);
}

TEST_CASE("what can't be a reading is refused, with the place", "[follower]") {
    const std::vector<double> circle(half_degrees, 15.0);
    CHECK_THROWS_WITH(support_from_pitch(circle, -1.0),
                      "a tip radius of -1 mm can't be; give 0 for a point or a positive radius");
    CHECK_THROWS_AS(pitch_from_support(circle, -1.0), std::domain_error);
    CHECK_THROWS_AS(pitch_from_support(circle, std::numeric_limits<double>::infinity()), std::domain_error);
    CHECK_THROWS_WITH(support_from_pitch(circle, 15.0), Catch::Contains("passes the cam's axis at 0.00 deg"));

    auto dented = circle;
    dented[at_deg(90)] = -0.1;
    CHECK_THROWS_WITH(support_from_pitch(dented, 0.0),
                      Catch::Contains("-0.1 at 90.00 deg; it must be positive"));
    CHECK_THROWS_WITH(pitch_from_support(dented, 0.05), Catch::Contains("pressure angle beyond 90 deg"));
    dented[at_deg(90)] = std::numeric_limits<double>::quiet_NaN();
    CHECK_THROWS_AS(support_from_pitch(dented, 0.0), std::domain_error);
    CHECK_THROWS_AS(pitch_from_support(dented, 0.0), std::domain_error);
    CHECK_THROWS_AS(support_from_pitch(std::vector<double>(7, 15.0), 0.0), std::domain_error);
    CHECK_THROWS_AS(pitch_from_support({}, 0.0), std::domain_error);
}
