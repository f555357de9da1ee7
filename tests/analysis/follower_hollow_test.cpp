// Hollow outlines of known depth, read by tips that reach their bottom, and by one that doesn't.
#include <cmath>

#include <catch2/catch.hpp>

#include "analysis/follower/pitch_curve.hpp"
#include "tests/analysis/follower_outlines.hpp"

using namespace lobewright;
using namespace follower_test;

namespace {

/// Limacon R = b + a cos psi with a < b < 2a: dented at 180 deg. x = R cos psi is least, -b^2/4a, at cos psi
/// = -b/2a, and -(b - a) in the dent: it is (b - 2a)^2 / 4a deep (elementary).
struct Limacon {
    double b, a;

    [[nodiscard]] double radius(double psi) const { return b + a * std::cos(psi); }
    [[nodiscard]] double depth() const { return (b - 2.0 * a) * (b - 2.0 * a) / (4.0 * a); }
    [[nodiscard]] double shoulder_deg() const { return std::acos(-b / (2.0 * a)) / degree; }
};

/// Two discs of radius 10 with centres 5 on either side of the axis: a groove at 90 and 270 deg that the line
/// y = 10 bridges from atan2(10, 5), 10 - sqrt(75) deep.
double two_discs(double psi) {
    const double s = 5.0 * std::sin(psi);
    return 5.0 * std::fabs(std::cos(psi)) + std::sqrt(100.0 - s * s);
}

/// A cam with hollow flanks of radius 200: base circle 15, nose 6 with its centre 15 from the axis. The
/// flank's centre C lies 215 from the axis and 206 from the nose's centre; the straight line that touches
/// both circles, with its normal at acos 0.6, bridges it.
struct HollowFlank {
    double x = (215.0 * 215.0 - 206.0 * 206.0 + 225.0) / 30.0;
    double y = std::sqrt(215.0 * 215.0 - x * x);

    [[nodiscard]] double depth() const { return 15.0 - (0.6 * x + 0.8 * y - 200.0); }
    [[nodiscard]] double pitch_radius(double angle, double r) const {
        const double psi = std::fabs(folded(angle));
        const double ends =
            (6.0 + r) / 206.0;  // where the roller's centre is on the line from the nose's to C
        if (psi >= std::atan2(y, x)) return 15.0 + r;
        if (psi <= std::atan2(y * ends, 15.0 + (x - 15.0) * ends)) {
            const double s = 15.0 * std::sin(psi);
            return 15.0 * std::cos(psi) + std::sqrt((6.0 + r) * (6.0 + r) - s * s);
        }
        const double along = x * std::cos(psi) + y * std::sin(psi),
                     aside = y * std::cos(psi) - x * std::sin(psi);
        return along - std::sqrt((200.0 - r) * (200.0 - r) - aside * aside);
    }
};

}  // namespace

TEST_CASE("a smooth hollow is found with its ends and its depth", "[follower]") {
    const double turned_deg = 20.137;  // off the grid's angles
    for (const auto& dent : {Limacon{20.0, 10.5}, Limacon{20.0, 10.2}, Limacon{20.0, 15.0}}) {
        const auto read =
            on_grid(half_degrees, [&](double psi) { return dent.radius(psi - turned_deg * degree); });
        for (const double r : {0.0, 2.0}) {  // the same pitch curve: a hollow is as deep as its pitch curve's
            CAPTURE(dent.a, r);
            const auto hollows = support_from_pitch(read, r, 1e-5).hollows;
            REQUIRE(hollows.size() == 1);
            CHECK(hollows[0].depth_mm == Approx(dent.depth()).margin(1e-9));
            CHECK(hollows[0].from_deg == Approx(turned_deg + dent.shoulder_deg()).margin(1e-5));
            CHECK(hollows[0].to_deg == Approx(turned_deg + 360.0 - dent.shoulder_deg()).margin(1e-5));
            CHECK(hollows[0].deepest_deg == Approx(turned_deg + 180.0).margin(1e-6));
            CHECK(hollows[0].normal_deg == Approx(turned_deg + 180.0).margin(1e-6));
        }
        // The flat tip's own reading in the bridge's direction is that of the bridge: b^2/4a.
        const auto straight =
            support_from_pitch(on_grid(half_degrees, [&](double psi) { return dent.radius(psi); }), 2.0);
        CHECK(straight.support_mm[at_deg(180)] ==
              Approx(dent.b * dent.b / (4.0 * dent.a) - 2.0).margin(1e-9));
    }
}

TEST_CASE("a hollow that lies across the zero of the angle is one hollow", "[follower]") {
    const Limacon dent{20.0, 10.5};
    const auto read = on_grid(half_degrees, [&](double psi) { return dent.radius(psi + pi); });
    const auto flat = support_from_pitch(read, 0.0);
    REQUIRE(flat.hollows.size() == 1);
    CHECK(flat.hollows[0].from_deg == Approx(180.0 + dent.shoulder_deg()).margin(1e-5));
    CHECK(flat.hollows[0].to_deg == Approx(540.0 - dent.shoulder_deg()).margin(1e-5));
    CHECK(flat.hollows[0].deepest_deg == Approx(360.0).margin(1e-6));
    CHECK(flat.hollows[0].depth_mm == Approx(dent.depth()).margin(1e-9));
}

TEST_CASE("only hollows deeper than asked for are reported", "[follower]") {
    const Limacon dent{20.0, 10.5};  // 0.0238 mm
    const auto read = on_grid(half_degrees, [&](double psi) { return dent.radius(psi); });
    CHECK(support_from_pitch(read, 0.0, 0.0230).hollows.size() == 1);
    CHECK(support_from_pitch(read, 0.0, 0.0240).hollows.empty());
}

TEST_CASE("a flat tip can't see a hollow", "[follower]") {
    const auto flat = support_from_pitch(on_grid(half_degrees, two_discs), 0.0);
    REQUIRE(flat.hollows.size() == 2);
    for (const auto& hollow : flat.hollows) {
        CHECK(hollow.depth_mm == Approx(10.0 - std::sqrt(75.0)).margin(1e-9));
        const double middle = 0.5 * (hollow.from_deg + hollow.to_deg);
        CHECK(hollow.to_deg - hollow.from_deg == Approx(2.0 * std::atan2(5.0, 10.0) / degree).margin(1e-5));
        CHECK(std::fmod(middle, 180.0) == Approx(90.0).margin(1e-6));
    }
    // Two discs with a belt round them read the same by a flat tip: 10 + 5 |cos|.
    const auto belted = on_grid(half_degrees, [](double t) { return 10.0 + 5.0 * std::fabs(std::cos(t)); });
    CHECK(largest_difference(flat.support_mm, belted) < 1e-9);
    // What comes back from it is the belt: the groove is gone.
    CHECK(pitch_from_support(flat.support_mm, 0.0).radius_mm[at_deg(90)] == Approx(10.0).margin(1e-9));
    CHECK(two_discs(pi / 2.0) == Approx(std::sqrt(75.0)));
}

TEST_CASE("a hollow flank is as deep by a roller as by a point", "[follower]") {
    const HollowFlank cam;
    // Shoulders and bottom are of different curvature: their meeting point is known to a grid step only, as
    // grid_curve.hpp states, which a jump of R'' by (R^2 + R'^2)^1.5 (1/6 + 1/200) / R < 135 mm limits.
    const double tolerance = 0.032 * 135.0 * step * step;
    for (const double r : {0.0, 10.0}) {
        CAPTURE(r);
        const auto read = on_grid(half_degrees, [&](double psi) { return cam.pitch_radius(psi, r); });
        const auto flat = support_from_pitch(read, r);
        REQUIRE(flat.hollows.size() == 2);
        CHECK(flat.hollows[0].depth_mm == Approx(cam.depth()).margin(tolerance));
        CHECK(flat.hollows[1].depth_mm == Approx(cam.depth()).margin(tolerance));
        CHECK(flat.hollows[0].normal_deg == Approx(std::acos(0.6) / degree).margin(0.002));
        CHECK(flat.hollows[0].to_deg == Approx(std::acos(0.6) / degree).margin(0.5));  // a grid step
        CHECK(flat.hollows[0].from_deg ==
              Approx(std::atan2(0.8 * (6.0 + r), 15.0 + 0.6 * (6.0 + r)) / degree).margin(0.5));
        // A flat tip reads the cam as one with straight flanks.
        const auto straight =
            on_grid(half_degrees, [](double t) { return std::fmax(15.0, 6.0 + 15.0 * std::cos(t)); });
        CHECK(largest_difference(flat.support_mm, straight) < tolerance);
    }
}

TEST_CASE("a hollow's depth changes with the reading as its weights say", "[follower]") {
    const Limacon dent{20.0, 10.5};
    const auto read = on_grid(half_degrees, [&](double psi) { return dent.radius(psi); });
    const auto hollow = support_from_pitch(read, 0.0).hollows.at(0);
    const auto weights = depth_weights(hollow, read);
    for (const auto& change : {on_grid(half_degrees, [](double) { return 1.0; }),
                               on_grid(half_degrees, [](double t) { return std::sin(t); }),
                               on_grid(half_degrees, [](double t) { return std::cos(6.0 * t + 0.4); })}) {
        const double little_mm = 1e-5;
        auto moved = read;
        double predicted = 0.0;
        for (std::size_t g = 0; g < half_degrees; ++g) {
            moved[g] += little_mm * change[g];
            predicted += little_mm * weights[g] * change[g];
        }
        const double deeper = support_from_pitch(moved, 0.0).hollows.at(0).depth_mm - hollow.depth_mm;
        // First order in the change; linear interpolation of six waves a turn between grid points.
        CHECK(deeper == Approx(predicted).margin(little_mm * 1e-3));
    }
}
