// Cams read by every kind of tip and stated for every kind of follower, from readings to lift, noise off: three arcs,
// straight flanks, an eccentric circle with a heel, and a 4-5-6-7 lobe. Lifts in closed form (Khurmi and Gupta, Theory of
// Machines, cams with specified contours, from memory; flank formulas in theory-of-machines question banks, seen), those
// of a roller on the 4-5-6-7 lobe by halving; derived, numerically verified by a brute-force contact.
// tests/outside/follower_test.cpp holds the same formulas to tables.
//
// Where two arcs meet, the radius of curvature jumps, and the fitted curve is drawn through in between its knots.
// Straight flanks are worse: for a flat tip the whole flank is one angle, at which its slope jumps by K, and what comes
// by way of a flat reading is rounded there by up to 0.17 K step / cos(pressure angle) (pitch_curve.hpp).
#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <string>
#include <vector>

#include <catch2/catch.hpp>

#include "analysis/compare.hpp"
#include "analysis/errors.hpp"
#include "tests/analysis/follower_outlines.hpp"
#include "tests/analysis/made_run.hpp"

using namespace lobewright;
using namespace follower_test;
using lobewright::tests::made_run;

namespace {

constexpr double flat = -1.0;  // as the radius of a tip or follower
constexpr double lost_um = 0.2;
constexpr double nose_deg = 180.0;

/// A cam with its nose at angle 0.
struct Cam {
    std::string name;
    double base_radius = 15.0;
    TrueOutline outline;
    std::function<double(double, double)> pitch;  // by follower angle and radius
    std::vector<double> joints;                   // normals at which curvature, or slope, jumps; both flanks
    double slope_jump = 0.0;                      // of the flat reading there, mm/rad

    /// Lift under a follower.
    [[nodiscard]] double lift(double angle, double radius) const {
        if (radius == flat) return outline(angle).h - base_radius;
        return pitch(angle, radius) - base_radius - radius;
    }
    /// Normal at which a follower at this angle touches: by halving.
    [[nodiscard]] double contact(double angle, double radius) const {
        if (radius == flat) return angle;
        double low = angle - pi / 2.0, high = angle + pi / 2.0;
        for (int i = 0; i < 60; ++i) {
            const double middle = 0.5 * (low + high);
            (at(middle, radius) > angle ? high : low) = middle;
        }
        return 0.5 * (low + high);
    }
    /// Angle of a follower that touches at this normal.
    [[nodiscard]] double at(double normal, double radius) const {
        if (radius == flat) return normal;
        const SupportAt s = outline(normal);
        return normal + std::atan2(s.h1, s.h + radius);
    }
    /// How far an angle of a tip or follower is from those at which it meets a joint, degrees.
    [[nodiscard]] double from_joints_deg(double angle, double radius) const {
        double nearest = std::numeric_limits<double>::infinity();
        for (const double joint : joints) {
            for (const double side : {-1e-9, 1e-9}) {  // either end of a straight flank
                const double off = std::fabs(folded(angle - at(joint + side, radius)));
                nearest = std::min(nearest, off / degree);
            }
        }
        return nearest;
    }
};

Cam tangent(const std::string& name, const TangentCam& cam) {
    return {name,
            15.0,
            [cam](double t) { return cam.support(folded(t)); },
            [cam](double psi, double r) { return cam.pitch(psi, r); },
            {-cam.flank(), cam.flank()},
            cam.arm * std::sin(cam.flank())};
}

const Cam three_arc_cam{"three arcs",
                        15.0,
                        three_arc,
                        three_arc_pitch,
                        {-three_arc_start, -three_arc_joint, three_arc_joint, three_arc_start}};
const Cam tangent_cam = tangent("tangent", {});
const Cam eccentric_cam = tangent("eccentric circle with a heel", {13.0, 8.0});
const TrueOutline smooth_lobe = [](double t) { return lobe_4567(t + pi); };
const Cam smooth_cam{
    "4-5-6-7", 20.0, smooth_lobe, [](double psi, double r) { return pitch_radius(smooth_lobe, r, psi); }, {}};

LobeFigures measured(const Cam& cam, double tip, double follower, const lobewright::tests::Reading& reading) {
    Run run = made_run(reading, {.step_deg = 0.25});
    run.lobes.at(0).base_diameter_mm = 2.0 * cam.base_radius;
    run.rig.tip = tip == flat ? Tip::flat : tip == 0.0 ? Tip::point : Tip::roller;
    if (tip > 0.0) run.rig.tip_radius_mm = tip;
    run.cam.follower = follower == flat ? Follower::flat : Follower::roller;
    if (follower != flat) run.cam.follower_radius_mm = follower;
    return inspect_run(run).lobes.at(0);
}

/// Largest errors of lift in um, beyond and within so many degrees of a joint as follower or tip meets it.
struct Errors {
    double beyond = 0.0;
    double within = 0.0;
};

Errors errors_of(const Cam& cam, double tip, double follower, double near_deg) {
    const auto found =
        measured(cam, tip, follower, [&](double rad, double) { return cam.lift(rad - pi, tip); }).curves;
    Errors out;
    for (std::size_t g = 0; g < half_degrees; ++g) {
        const double angle = (0.5 * static_cast<double>(g) - nose_deg) * degree;
        double off = std::numeric_limits<double>::infinity();
        if (!cam.joints.empty()) {
            const double tip_angle = cam.at(cam.contact(angle, follower), tip);
            off = std::min(cam.from_joints_deg(angle, follower), cam.from_joints_deg(tip_angle, tip));
        }
        double& most = off < near_deg ? out.within : out.beyond;
        const double lift = cam.lift(angle, follower);
        for (const auto* curve : {&found.front_mm, &found.rear_mm}) {
            most = std::max(most, 1e3 * std::fabs((*curve)[g] - lift));
        }
    }
    return out;
}

}  // namespace

TEST_CASE("a lobe of smooth curvature: every tip's reading for every follower", "[outside][tips]") {
    for (const double tip : {flat, 0.0, 4.0, 10.0}) {
        for (const double follower : {flat, 10.0}) {
            CAPTURE(tip, follower);
            CHECK(errors_of(smooth_cam, tip, follower, 0.0).beyond < lost_um);
        }
    }
}

TEST_CASE("a three-arc cam: every tip's reading for every follower", "[outside][tips]") {
    for (const double tip : {flat, 0.0, 4.0, 10.0}) {
        for (const double follower : {flat, 10.0}) {
            CAPTURE(tip, follower);
            const auto errors = errors_of(three_arc_cam, tip, follower, 1.5);
            CHECK(errors.beyond < lost_um);
            CHECK(errors.within < lost_um);  // jumps of curvature by up to 57 mm as well
        }
    }
}

TEST_CASE("straight flanks read by a round tip, for a flat follower and one like the tip",
          "[outside][tips]") {
    for (const Cam& cam : {tangent_cam, eccentric_cam}) {
        for (const double tip : {0.0, 4.0, 10.0}) {
            CAPTURE(cam.name, tip);
            const auto errors = errors_of(cam, tip, flat, 1.5);
            CHECK(errors.beyond < lost_um);
            CHECK(errors.within < lost_um);
            if (tip == 0.0) continue;  // a follower has a radius
            const auto alike = errors_of(cam, tip, tip, 1.5);
            CHECK(alike.beyond < lost_um);
            CHECK(alike.within < lost_um);
        }
    }
}

TEST_CASE("straight flanks read by one round tip, for a roller of another radius", "[outside][tips]") {
    for (const Cam& cam : {tangent_cam, eccentric_cam}) {
        for (const double tip : {0.0, 4.0}) {
            CAPTURE(cam.name, tip);
            const auto errors = errors_of(cam, tip, 10.0, 1.5);
            CHECK(errors.beyond < lost_um);
            // On the flank the lift rests on one angle of the flat reading that lies between.
            const double flank_mm = cam.slope_jump, pressure = std::atan2(flank_mm, cam.base_radius + 10.0);
            CHECK(errors.within < 1e3 * 0.17 * cam.slope_jump * step / std::cos(pressure));
        }
    }
}

TEST_CASE("straight flanks read by a flat tip", "[outside][tips]") {
    // The slope jumps by up to 12 mm/rad. What the fit does there dies away by 3.7 a knot, half a degree (the ratio
    // 2 - sqrt3 of cubic splines): six knots on, little is left.
    for (const Cam& cam : {tangent_cam, eccentric_cam}) {
        for (const double follower : {flat, 10.0}) {
            CAPTURE(cam.name, follower);
            const auto errors = errors_of(cam, flat, follower, 3.0);
            CHECK(errors.beyond < lost_um);
            const double pressure =
                follower == flat ? 0.0 : std::atan2(cam.slope_jump, cam.base_radius + follower);
            CHECK(errors.within < 1e3 * 0.17 * cam.slope_jump * step / std::cos(pressure));
        }
    }
}

TEST_CASE("a lobe set up off its axis: a point tip's reading for a flat follower", "[outside][tips]") {
    // An eccentricity of 0.1 mm across the nose, 0.2 mm of runout, reads as a limacon by a point: on the heel
    // 0.25 um off a once-per-turn wave (e^2/2R), and the flanks stand turned by up to e/R, 0.3 degrees.
    const double e = 0.1;
    const TrueOutline displaced = [e](double t) {
        const SupportAt s = smooth_lobe(t);
        return SupportAt{s.h + e * std::sin(t), s.h1 + e * std::cos(t)};
    };
    const auto lobe = measured(smooth_cam, 0.0, flat, [&](double rad, double) {
        return pitch_radius(displaced, 0.0, rad - pi) - smooth_cam.base_radius;
    });
    CHECK(lobe.base_circle.eccentricity_mm.value == Approx(e).margin(2e-4));
    double most = 0.0;
    for (std::size_t g = 0; g < half_degrees; ++g) {
        const double angle = (0.5 * static_cast<double>(g) - nose_deg) * degree;
        most = std::max(most, 1e3 * std::fabs(lobe.curves.front_mm[g] - smooth_cam.lift(angle, flat)));
    }
    CHECK(most < lost_um);
}

TEST_CASE("an eccentric circle without a heel is no lobe, by whatever tip", "[outside][tips]") {
    // All of it is taken for a cam set up off its axis.
    for (const double tip : {flat, 0.0, 10.0}) {
        CAPTURE(tip);
        CHECK_THROWS_AS(measured(three_arc_cam, tip, flat,
                                 [&](double rad, double) {
                                     if (tip == flat) return 4.0 * std::cos(rad);
                                     const double d = 4.0 * std::sin(rad), reach = 15.0 + tip;
                                     return 4.0 * std::cos(rad) + std::sqrt(reach * reach - d * d) - reach;
                                 }),
                        DataError);
    }
}
