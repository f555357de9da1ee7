// Weights carried from a follower's curve back to the tip's, beside small changes carried forward through the
// conversion itself.
#include <cmath>
#include <numeric>
#include <stdexcept>

#include <catch2/catch.hpp>

#include "analysis/follower/pitch_curve.hpp"
#include "tests/analysis/follower_outlines.hpp"

using namespace lobewright;
using namespace follower_test;

namespace {

constexpr double little_mm = 1e-4;

double change(double angle) {
    return std::cos(5.0 * angle) + 0.5 * std::sin(2.0 * angle);
}

double dot(const std::vector<double>& a, const std::vector<double>& b) {
    return std::inner_product(a.begin(), a.end(), b.begin(), 0.0);
}

std::vector<double> plus_change(std::vector<double> curve) {
    for (std::size_t g = 0; g < half_degrees; ++g)
        curve[g] += little_mm * change(static_cast<double>(g) * step);
    return curve;
}

// What is left of second order: the touching point moves by change'/(radius of curvature), which gives back
// half of little^2 change'^2 / radius: change' < 6, radius > 7.
constexpr double second_order_mm = little_mm * little_mm * 36.0 / 14.0;

}  // namespace

TEST_CASE("a flat reading changes by gain times the change at the contact", "[follower]") {
    const auto read = pitch_on_grid(half_degrees, lobe_4567, 10.0);
    const auto before = support_from_pitch(read, 10.0), after = support_from_pitch(plus_change(read), 10.0);
    for (std::size_t g = 0; g < half_degrees; ++g) {
        REQUIRE(after.support_mm[g] - before.support_mm[g] ==
                Approx(before.contact.gain[g] * little_mm * change(before.contact.at_rad[g]))
                    .margin(second_order_mm));
    }
}

TEST_CASE("a roller's reading changes by gain times the change at the contact", "[follower]") {
    const auto h = support_on_grid(half_degrees, lobe_4567);
    const auto before = pitch_from_support(h, 10.0), after = pitch_from_support(plus_change(h), 10.0);
    for (std::size_t g = 0; g < half_degrees; ++g) {
        REQUIRE(after.radius_mm[g] - before.radius_mm[g] ==
                Approx(before.contact.gain[g] * little_mm * change(before.contact.at_rad[g]))
                    .margin(second_order_mm));
    }
}

TEST_CASE("weights on the follower's lift say the same on the tip's reading", "[follower]") {
    // A figure of the follower: nose lift less the mean of a flank. Point tip to flat to roller of 10.
    std::vector<double> weights(half_degrees, 0.0);
    weights[at_deg(180)] = 1.0;
    for (std::size_t g = at_deg(130); g < at_deg(150); ++g) weights[g] -= 1.0 / 40.0;
    const auto figure = [&](const std::vector<double>& read) {
        return dot(weights, pitch_from_support(support_from_pitch(read, 0.0).support_mm, 10.0).radius_mm);
    };
    const auto read = pitch_on_grid(half_degrees, lobe_4567, 0.0);
    const auto flat = support_from_pitch(read, 0.0);
    const auto roller = pitch_from_support(flat.support_mm, 10.0);
    const auto on_tip = pulled_back(flat.contact, pulled_back(roller.contact, weights));
    const auto changes = on_grid(half_degrees, change);
    const double predicted = little_mm * dot(on_tip, changes);
    // Twice an interpolation between grid points, 27/8 step^2 of the change each, and the second order.
    CHECK(
        figure(plus_change(read)) - figure(read) ==
        Approx(predicted).margin(2.0 * (little_mm * 27.0 / 8.0 * step * step * 2.0) + 4.0 * second_order_mm));
    CHECK(std::fabs(predicted) > 0.1 * little_mm);
}

TEST_CASE("a base radius that is off by a little is one change all round", "[follower]") {
    const auto read = pitch_on_grid(half_degrees, lobe_4567, 10.0);
    auto larger = read;
    for (double& value : larger) value += little_mm;
    const auto before = support_from_pitch(read, 10.0), after = support_from_pitch(larger, 10.0);
    std::vector<double> flank(half_degrees, 0.0);
    flank[at_deg(140)] = 1.0;
    const auto on_read = pulled_back(before.contact, flank);
    const double sum = std::accumulate(on_read.begin(), on_read.end(), 0.0);
    // cos(pressure angle) from the outline: tan = h'/(h + r).
    const SupportAt s = lobe_4567(140.0 * degree);
    CHECK(sum == Approx(std::cos(std::atan2(s.h1, s.h + 10.0))).margin(1e-9));
    CHECK(after.support_mm[at_deg(140)] - before.support_mm[at_deg(140)] ==
          Approx(sum * little_mm).margin(1e-8 * 5.0));
}

TEST_CASE("weights of another grid are refused", "[follower]") {
    const auto flat = support_from_pitch(std::vector<double>(half_degrees, 25.0), 10.0);
    CHECK_THROWS_WITH(pulled_back(flat.contact, std::vector<double>(360, 0.0)),
                      "360 weights don't fit a curve of 720 points; give one a point");
}
