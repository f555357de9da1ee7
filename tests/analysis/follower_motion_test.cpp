// Motion of flat and roller followers against derivatives taken by hand.
#include "analysis/follower/follower_motion.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <stdexcept>

#include <catch2/catch.hpp>

#include "analysis/follower/pitch_curve.hpp"
#include "tests/analysis/follower_outlines.hpp"

using namespace lobewright;
using namespace follower_test;

namespace {

/// What a mean under an even weight of width w makes of a harmonic cos(m t): 2 sin(m w/2)/(m w).
double even_mean(double m, double width_deg) {
    const double half = 0.5 * m * width_deg * degree;
    return std::sin(half) / half;
}

}  // namespace

TEST_CASE("a follower's motion on a harmonic is its own under the stated means", "[follower]") {
    // The differences are derivatives under one, two and three even means laid over each other.
    for (const double m : {1.0, 3.0, 9.0}) {
        CAPTURE(m);
        const auto lift = on_grid(half_degrees, [&](double t) { return 2.0 * std::cos(m * t); });
        const double v = even_mean(m, 1.0), a = std::pow(even_mean(m, 2.0), 2),
                     j = std::pow(even_mean(m, 3.0), 3);
        const auto velocity = on_grid(half_degrees, [&](double t) { return -2.0 * m * v * std::sin(m * t); });
        const auto acceleration =
            on_grid(half_degrees, [&](double t) { return -2.0 * m * m * a * std::cos(m * t); });
        const auto jerk =
            on_grid(half_degrees, [&](double t) { return 2.0 * m * m * m * j * std::sin(m * t); });
        CHECK(largest_difference(follower_motion(lift, Derivative::velocity), velocity) < 1e-11);
        CHECK(largest_difference(follower_motion(lift, Derivative::acceleration), acceleration) < 1e-10);
        CHECK(largest_difference(follower_motion(lift, Derivative::jerk), jerk) < 1e-8);
    }
}

TEST_CASE("a 4-5-6-7 rise moves its follower by the program's factors, to what the means take",
          "[follower]") {
    // Velocity 2.1875 L/beta and jerk -52.5 L/beta^3 at x = 1/2; acceleration 84 sqrt5/25 L/beta^2 at x = (1 - 1/sqrt5)/2
    // (closed forms; program after Rothbart (ed.), Cam Design Handbook, ch. 2-3, from memory). Their own second
    // derivatives there are -24, -50 and -48 times as large, by x: the means take w^2/24, w^2/12 and w^2/8 of that.
    const double lift = 4.0, beta = 80.0 * degree;
    const auto left = [](double span_deg, double bend, double part) {
        return 1.0 - bend * std::pow(span_deg / 80.0, 2) / part;
    };
    const auto rise = support_on_grid(half_degrees, lobe_4567);
    const auto velocity = follower_motion(rise, Derivative::velocity);
    const auto acceleration = follower_motion(rise, Derivative::acceleration);
    const auto jerk = follower_motion(rise, Derivative::jerk);
    const auto most = [](const std::vector<double>& v) { return *std::max_element(v.begin(), v.end()); };
    CHECK(most(velocity) == Approx(2.1875 * lift / beta * left(1.0, 24.0, 24.0)).epsilon(1e-5));
    CHECK(most(acceleration) ==
          Approx(84.0 * std::sqrt(5.0) / 25.0 * lift / (beta * beta) * left(2.0, 50.0, 12.0)).epsilon(2e-4));
    const double greatest_jerk = 52.5 * lift / std::pow(beta, 3) * left(3.0, 48.0, 8.0);
    CHECK(jerk[at_deg(140)] == Approx(-greatest_jerk).epsilon(2e-4));
    CHECK(jerk[at_deg(220)] == Approx(greatest_jerk).epsilon(2e-4));
}

TEST_CASE("a roller on an eccentric circle moves as a crank's slide does", "[follower]") {
    // Distance e cos p + q, q = sqrt(L^2 - e^2 sin^2 p), L = 15 + 10, e = 4: crank e, rod L; differentiated by hand. The
    // means take 1.3e-5 and 1e-4 of harmonics 1 and, of a twelfth the size, four times that of harmonic 2.
    const double e = 4.0, length = 25.0;
    const auto lift = pitch_from_support(support_on_grid(half_degrees, eccentric_circle), 10.0).radius_mm;
    const auto velocity = follower_motion(lift, Derivative::velocity);
    const auto acceleration = follower_motion(lift, Derivative::acceleration);
    for (std::size_t g = 0; g < half_degrees; ++g) {
        const double p = static_cast<double>(g) * step, s = std::sin(p), c = std::cos(p);
        const double q = std::sqrt(length * length - e * e * s * s);
        REQUIRE(velocity[g] == Approx(-e * s - e * e * s * c / q).margin(1e-4));
        REQUIRE(acceleration[g] ==
                Approx(-e * c - e * e * (c * c - s * s) / q - std::pow(e * e * s * c, 2) / (q * q * q))
                    .margin(8e-4));
    }
}

TEST_CASE("a jump of acceleration is drawn out but never overshot", "[follower]") {
    // Acceleration 0 before 0.6 rad, 30 after it (a flank arc's start), from whatever angle the grid looks at it.
    for (const double start : {0.6, 0.601, 0.603, 0.606}) {
        const auto lift = on_grid(half_degrees, [&](double t) {
            const double on = t - start;
            return on > 0.0 && on < 0.5 ? 15.0 * on * on : 0.0;
        });
        const auto acceleration = follower_motion(lift, Derivative::acceleration);
        for (std::size_t g = 0; g < at_deg(50); ++g) {
            REQUIRE(acceleration[g] > -1e-9);
            REQUIRE(acceleration[g] < 30.0 + 1e-9);
        }
        CHECK(acceleration[at_deg(45)] == Approx(30.0).epsilon(1e-9));
    }
}

TEST_CASE("the weights of a follower's motion give it, and the noise that the header states", "[follower]") {
    const auto lift = support_on_grid(half_degrees, smooth_outline);
    struct Row {
        Derivative which;
        double noise;
    };
    for (const Row& row : {Row{Derivative::velocity, 81.0}, Row{Derivative::acceleration, 2010.0},
                           Row{Derivative::jerk, 31150.0}}) {
        const auto motion = follower_motion(lift, row.which);
        for (const std::size_t g : {std::size_t{0}, std::size_t{3}, std::size_t{300}, std::size_t{719}}) {
            const auto weights = motion_weights(half_degrees, g, row.which);
            CHECK(std::inner_product(weights.begin(), weights.end(), lift.begin(), 0.0) ==
                  Approx(motion[g]).margin(1e-9));
            CHECK(std::sqrt(std::inner_product(weights.begin(), weights.end(), weights.begin(), 0.0)) ==
                  Approx(row.noise).epsilon(0.001));
        }
    }
}

TEST_CASE("grids that can't carry a half degree are refused", "[follower]") {
    CHECK_THROWS_WITH(
        follower_motion(std::vector<double>(1000, 1.0), Derivative::velocity),
        "a follower's motion can't be formed on 1000 points round the turn; give a multiple of 720");
    CHECK_THROWS_AS(follower_motion({}, Derivative::jerk), std::domain_error);
    CHECK_THROWS_AS(motion_weights(0, 0, Derivative::jerk), std::domain_error);
    CHECK(follower_motion(std::vector<double>(1440, 1.0), Derivative::velocity)[7] == 0.0);
}
