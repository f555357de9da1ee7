// The outline drawn from a lift, against circles, whose outline is known whatever the follower.
#include "analysis/lobe/outline.hpp"

#include <cmath>
#include <numbers>
#include <stdexcept>

#include <catch2/catch.hpp>

using namespace lobewright;

namespace {

constexpr std::size_t points = 720;
constexpr double base_mm = 14.0;
constexpr double off_mm = 3.0;  // of the circle's middle, along 0 degrees

double angle_of(std::size_t g) {
    return 2.0 * std::numbers::pi * static_cast<double>(g) / static_cast<double>(points);
}

double off_the_circle_mm(const OutlinePoint& at) {
    return std::hypot(at.x_mm - off_mm, at.y_mm) - base_mm;
}

}  // namespace

TEST_CASE("an outline from a flat follower's lift is the circle that gave it") {
    // Derived: the support function of a circle of radius b about (e, 0) is b + e cos.
    std::vector<double> lift_mm(points);
    for (std::size_t g = 0; g < points; ++g) lift_mm[g] = off_mm * std::cos(angle_of(g));
    const auto outline = lobe_outline(lift_mm, base_mm, CamInfo{});
    REQUIRE(outline.size() == points);
    for (std::size_t g = 0; g < points; ++g) {
        CHECK(std::abs(off_the_circle_mm(outline[g])) < 1e-3);  // 2 degrees of a cosine's slope: e x 2e-4
        CHECK(outline[g].normal_rad == Approx(angle_of(g)));
    }
}

TEST_CASE("an outline from a roller's lift is the circle that gave it") {
    // Derived: the roller's centre lies on the circle of radius b + r about (e, 0); its distance from the axis at psi is
    // e cos + sqrt((b + r)^2 - e^2 sin^2).
    CamInfo cam;
    cam.follower = Follower::roller;
    cam.follower_radius_mm = 9.0;
    std::vector<double> lift_mm(points);
    for (std::size_t g = 0; g < points; ++g) {
        const double psi = angle_of(g), reach = base_mm + 9.0;
        lift_mm[g] =
            off_mm * std::cos(psi) + std::sqrt(reach * reach - std::pow(off_mm * std::sin(psi), 2)) - reach;
    }
    for (const OutlinePoint& at : lobe_outline(lift_mm, base_mm, cam))
        CHECK(std::abs(off_the_circle_mm(at)) < 2e-3);
}

TEST_CASE("an outline without a base radius, lifts or a roller's radius is refused") {
    CamInfo roller;
    roller.follower = Follower::roller;
    CHECK_THROWS_AS(lobe_outline(std::vector<double>(points), 0.0, CamInfo{}), std::domain_error);
    CHECK_THROWS_AS(lobe_outline(std::vector<double>(8), base_mm, CamInfo{}), std::domain_error);
    CHECK_THROWS_AS(lobe_outline(std::vector<double>(points), base_mm, roller), std::domain_error);
}
