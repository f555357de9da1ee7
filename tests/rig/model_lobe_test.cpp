// The lobe model: lift, ramps, taper, wear and form as their definitions give them; smooth and convex.
#include <array>
#include <cmath>
#include <string>

#include <catch2/catch.hpp>

#include "analysis/errors.hpp"
#include "analysis/units.hpp"
#include "rig/model/cam_model.hpp"
#include "rig/model/example_cams.hpp"
#include "rig/model/lobe_model.hpp"

using namespace lobewright;

namespace {

/// A lobe with everything on it, sides of unequal length.
LobeModel full_lobe() {
    LobeModel model;
    model.lobe.name = "1E";
    model.lobe.width_mm = 12.0;
    model.nose_deg = 110.0;
    model.opening_deg = 82.0;
    model.closing_deg = 88.0;
    model.taper_mm = 0.024;
    model.form = {{2, 0.0006, 30.0}, {3, 0.0004, 200.0}, {5, 0.0002, 75.0}};
    return model;
}

Support at(const LobeModel& model, double deg, double z_mm) {
    return LobeShape(model).section(Turned(rad_from_deg(deg))).at(z_mm);
}

/// Rear edge less front edge.
double edge_difference(const LobeModel& model, double deg) {
    return at(model, deg, 6.0).h - at(model, deg, -6.0).h;
}

std::array<Wear, 4> every_wear(double taper_mm) {
    return {nose_wear(0.03, taper_mm), wiped_wear(0.45), taper_lost_wear(0.01, taper_mm), even_wear(0.005)};
}

}  // namespace

TEST_CASE("a lobe without ramps lifts as its program says") {
    // Lift 6, 4-5-6-7 rise and fall of 60 degrees: the sum of h'^2 over 720 equal steps is
    // (720 / 2 pi) 2 L^2 / beta x 1.63170163 = 12855.745147 per rad^2 (derived; int v^2 of the 4-5-6-7
    // program).
    LobeModel model;
    model.lobe.width_mm = 12.0;
    model.lift_mm = 6.0;
    model.opening_deg = model.closing_deg = 60.0;
    model.ramp_deg = 0.0;
    model.program = MotionProgram::polynomial_4567;
    double sum = 0.0;
    for (int i = 0; i < 720; ++i) {
        const double slope = at(model, 0.5 * i, 0.0).h1;
        sum += slope * slope;
    }
    CHECK(sum == Approx(12855.745147).epsilon(1e-9));
    CHECK(at(model, 30.0, 0.0).h == Approx(14.0 + 3.0).epsilon(1e-12));
    CHECK(at(model, 180.0, 0.0).h == 14.0);
}

TEST_CASE("lift is largest at the nose, and the ramps end at their height") {
    for (const MotionProgram program : {MotionProgram::nose_polynomial, MotionProgram::polynomial_345,
                                        MotionProgram::polynomial_4567, MotionProgram::cycloidal}) {
        LobeModel model = full_lobe();
        model.program = program;
        const LobeShape shape(model);
        CHECK(shape.lift(0.0).h == Approx(5.5).epsilon(1e-12));
        CHECK(std::fabs(shape.lift(0.0).h1) < 1e-12);
        CHECK(shape.lift(rad_from_deg(-82.0 + 14.0)).h == Approx(0.03).epsilon(1e-9));
        CHECK(shape.lift(rad_from_deg(88.0 - 14.0)).h == Approx(0.03).epsilon(1e-9));
        CHECK(shape.lift(rad_from_deg(-82.01)).h == 0.0);
        CHECK(shape.lift(rad_from_deg(88.01)).h == 0.0);
        // Constant velocity over the ramp's second half: 0.03 mm of it takes 14 degrees less half the
        // pick-up's 7.
        const double velocity = 0.03 / rad_from_deg(14.0 - 3.5);
        CHECK(shape.lift(rad_from_deg(-82.0 + 8.0)).h1 == Approx(velocity).epsilon(1e-9));
        CHECK(shape.lift(rad_from_deg(-82.0 + 13.0)).h1 == Approx(velocity).epsilon(1e-9));
        CHECK(shape.lift(rad_from_deg(88.0 - 10.0)).h1 == Approx(-velocity).epsilon(1e-9));
    }
}

TEST_CASE("derivatives of a worn lobe agree with central differences") {
    constexpr double d_deg = 0.002;
    const double d = rad_from_deg(d_deg);
    for (const MotionProgram program : {MotionProgram::nose_polynomial, MotionProgram::polynomial_4567}) {
        for (const Wear& wear : every_wear(0.024)) {
            LobeModel model = full_lobe();
            model.program = program;
            model.wear = {wear};
            for (int i = 0; i < 109; ++i) {
                const double deg = 0.7 + 3.3 * i;
                const Support before = at(model, deg - d_deg, 6.0);
                const Support here = at(model, deg, 6.0);
                const Support after = at(model, deg + d_deg, 6.0);
                // Truncation is d^2 / 6 times the third and fourth derivatives, some 500 and 1e4 here: 1e-7
                // and 2e-6.
                CHECK(here.h1 == Approx((after.h - before.h) / (2.0 * d)).margin(5e-7));
                CHECK(here.h2 == Approx((after.h1 - before.h1) / (2.0 * d)).margin(1e-5));
            }
        }
    }
}

TEST_CASE("the second derivative has no jumps") {
    LobeModel model = full_lobe();
    model.wear = {nose_wear(0.02, 0.024), even_wear(0.004)};
    double largest_step = 0.0;
    Support last = at(model, 0.0, 6.0);
    for (int i = 1; i <= 36000; ++i) {
        const Support next = at(model, 0.01 * i, 6.0);
        largest_step = std::max(largest_step, std::fabs(next.h2 - last.h2));
        last = next;
    }
    // The steepest jerk of a nose polynomial of 5.5 mm is some 400 mm/rad^3: 0.07 in a hundredth of a degree.
    CHECK(largest_step < 0.1);
}

TEST_CASE("example cams are convex, new and however worn") {
    for (CamModel cam : {launch_engine_cam(), pump_engine_cam()}) {
        CHECK_NOTHROW(check(cam));
        for (LobeModel& model : cam.lobes) {
            for (const Wear& wear : every_wear(model.taper_mm)) {
                model.wear = {wear};
                CHECK(least_radius_mm(model) > 3.0);
            }
        }
    }
}

TEST_CASE("a lobe that can't be ground is refused by name") {
    CamModel cam;
    cam.lobes = {full_lobe()};
    cam.lobes[0].lift_mm = 9.0;
    CHECK_THROWS_WITH(check(cam), Catch::Contains("'1E'") && Catch::Contains("convex"));
    cam.lobes[0] = full_lobe();
    cam.lobes[0].opening_deg = 20.0;
    CHECK_THROWS_WITH(check(cam), Catch::Contains("ramp"));
    cam.lobes.clear();
    JournalModel journal;
    journal.journal.name = "J1";
    journal.journal.v_angle_deg = 90.0;
    cam.journals = {journal};
    CHECK_THROWS_AS(check(cam), DataError);
}

TEST_CASE("taper is rear less front, all round the new lobe") {
    const LobeModel model = full_lobe();
    for (int deg = 0; deg < 360; deg += 17) CHECK(edge_difference(model, deg) == Approx(0.024).margin(1e-12));
    CHECK(at(model, 0.0, 4.0).h - at(model, 0.0, -4.0).h == Approx(0.024 * 8.0 / 12.0).margin(1e-12));
}

TEST_CASE("a worn nose loses its taper while the ramps keep theirs") {
    LobeModel model = full_lobe();
    const LobeModel fresh = model;
    model.wear = {nose_wear(0.02, model.taper_mm, 28.0)};
    CHECK(edge_difference(model, 110.0) == Approx(0.0).margin(1e-12));
    CHECK(at(fresh, 110.0, -6.0).h - at(model, 110.0, -6.0).h == Approx(0.02).margin(1e-12));
    CHECK(at(fresh, 110.0, 6.0).h - at(model, 110.0, 6.0).h == Approx(0.044).margin(1e-12));
    for (const double deg : {110.0 - 28.0, 110.0 + 28.0, 60.0, 165.0, 290.0}) {
        CHECK(edge_difference(model, deg) == Approx(0.024).margin(1e-12));
    }
    // The integral of (1 - x^2)^4 over -1..1 is 256/315.
    double area = 0.0;
    for (int i = 0; i < 6000; ++i) {
        const double deg = 80.0 + 0.01 * i;
        area += 0.01 * (at(fresh, deg, -6.0).h - at(model, deg, -6.0).h);
    }
    CHECK(area == Approx(0.02 * 28.0 * 256.0 / 315.0).epsilon(1e-6));
}

TEST_CASE("the high side loses the taper, whichever side that is") {
    LobeModel model = full_lobe();
    model.taper_mm = -0.018;
    model.wear = {taper_lost_wear(0.01, model.taper_mm, 14.0)};
    const LobeModel fresh = [&] {
        LobeModel lobe = model;
        lobe.wear.clear();
        return lobe;
    }();
    for (const double deg :
         {110.0 - 68.0, 70.0, 110.0, 150.0, 110.0 + 74.0}) {  // the event less its fading ends
        CHECK(edge_difference(model, deg) == Approx(0.0).margin(1e-12));
        CHECK(at(fresh, deg, -6.0).h - at(model, deg, -6.0).h == Approx(0.028).margin(1e-12));
        CHECK(at(fresh, deg, 6.0).h - at(model, deg, 6.0).h == Approx(0.010).margin(1e-12));
    }
    for (const double deg : {210.0, 300.0, 20.0})
        CHECK(edge_difference(model, deg) == Approx(-0.018).margin(1e-12));
}

TEST_CASE("a wiped lobe loses lift in proportion") {
    LobeModel model = full_lobe();
    model.form.clear();
    const LobeModel fresh = model;
    model.wear = {wiped_wear(0.55)};
    for (const double deg : {40.0, 75.0, 110.0, 150.0, 190.0, 300.0}) {
        CHECK(at(model, deg, 0.0).h - 14.0 == Approx(0.9 * (at(fresh, deg, 0.0).h - 14.0)).margin(1e-12));
    }
}

TEST_CASE("form runs round the lobe from its nose") {
    LobeModel model = full_lobe();
    model.taper_mm = 0.0;
    model.form = {{3, 0.001, 60.0}};
    // On the heel h = base + a cos(3 (theta - nose) - phase).
    for (const double deg : {210.0, 250.0, 333.0}) {
        const double expected = 14.0 + 0.001 * std::cos(rad_from_deg(3.0 * (deg - 110.0) - 60.0));
        CHECK(at(model, deg, 0.0).h == Approx(expected).margin(1e-12));
    }
}
