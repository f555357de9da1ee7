// The model's motion programs against published closed forms, and their derivatives against differences.
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include <catch2/catch.hpp>

#include "rig/model/motion_program.hpp"

using namespace lobewright;

namespace {

constexpr std::array<MotionProgram, 4> every_program = {
    MotionProgram::cycloidal, MotionProgram::polynomial_345, MotionProgram::polynomial_4567,
    MotionProgram::nose_polynomial};

/// A rise at x from its start: the event at xi = x - 1.
Motion rise(MotionProgram program, double x) {
    return event_motion(program, x - 1.0);
}

}  // namespace

TEST_CASE("rises agree with the standard programs") {
    // Closed forms of the double-dwell programs (Norton, Cam Design and Manufacturing Handbook; Rothbart, Cam
    // Design Handbook; both from memory); digits recomputed from the closed forms and by numerical double
    // integration.
    struct Row {
        double x;
        double cycloidal;
        double polynomial_345;
        double polynomial_4567;
    };
    const std::array<Row, 7> rows = {{{0.05, 0.0008184178, 0.0011581250, 0.0001935781},
                                      {0.10, 0.0064510716, 0.0085600000, 0.0027280000},
                                      {0.125, 0.0124604605, 0.0160522461, 0.0062389374},
                                      {0.20, 0.0486346543, 0.0579200000, 0.0333440000},
                                      {0.25, 0.0908450569, 0.1035156250, 0.0705566406},
                                      {0.30, 0.1486346543, 0.1630800000, 0.1260360000},
                                      {0.40, 0.3064510716, 0.3174400000, 0.2897920000}}};
    for (const Row& row : rows) {
        CHECK(rise(MotionProgram::cycloidal, row.x).s == Approx(row.cycloidal).margin(1e-10));
        CHECK(rise(MotionProgram::polynomial_345, row.x).s == Approx(row.polynomial_345).margin(1e-10));
        CHECK(rise(MotionProgram::polynomial_4567, row.x).s == Approx(row.polynomial_4567).margin(1e-10));
    }
    CHECK(rise(MotionProgram::cycloidal, 0.4).v == Approx(1.80901699).epsilon(1e-8));
    CHECK(rise(MotionProgram::polynomial_345, 0.4).v == Approx(1.72800000).epsilon(1e-8));
    CHECK(rise(MotionProgram::polynomial_4567, 0.4).v == Approx(1.93536000).epsilon(1e-8));
    CHECK(rise(MotionProgram::cycloidal, 0.25).a == Approx(6.28318531).epsilon(1e-8));
    CHECK(rise(MotionProgram::polynomial_345, 0.25).a == Approx(5.62500000).epsilon(1e-8));
    CHECK(rise(MotionProgram::polynomial_4567, 0.25).a == Approx(7.38281250).epsilon(1e-8));
}

TEST_CASE("peak velocities and accelerations are the published coefficients") {
    struct Row {
        MotionProgram program;
        double velocity;
        double acceleration;
        double at;
    };
    // Cv at mid-rise and Ca where it peaks; same sources as the table above.
    const std::array<Row, 3> rows = {
        {{MotionProgram::cycloidal, 2.0, 2.0 * std::numbers::pi, 0.25},
         {MotionProgram::polynomial_345, 1.875, 10.0 / std::sqrt(3.0), 0.5 - std::sqrt(3.0) / 6.0},
         {MotionProgram::polynomial_4567, 2.1875, 84.0 * std::sqrt(5.0) / 25.0,
          0.5 - std::sqrt(5.0) / 10.0}}};
    for (const Row& row : rows) {
        double most_v = 0.0;
        double most_a = 0.0;
        for (int i = 0; i <= 2000; ++i) {
            most_v = std::max(most_v, rise(row.program, i / 2000.0).v);
            most_a = std::max(most_a, rise(row.program, i / 2000.0).a);
        }
        CHECK(most_v == Approx(row.velocity).epsilon(1e-9));
        CHECK(most_a == Approx(row.acceleration).epsilon(1e-6));  // the peak falls between two of 2000 steps
        CHECK(rise(row.program, row.at).a == Approx(row.acceleration).epsilon(1e-12));
    }
}

TEST_CASE("the nose polynomial starts and ends with s, v, a and jerk zero") {
    // C2 = -(10 x 12 x 14) / (8 x 10 x 12), hence the acceleration 2 C2 at the nose.
    CHECK(event_motion(MotionProgram::nose_polynomial, 0.0).s == 1.0);
    CHECK(event_motion(MotionProgram::nose_polynomial, 0.0).a == Approx(-3.5).epsilon(1e-14));
    // s'' at the ends is the sum of C_k k^4, which for weights of a divided difference is 2 x 10 x 12 x 14 =
    // 3360: s goes as 3360 / 24 (1 - |xi|)^4 there. The next term is some ten (1 - |xi|) of it.
    constexpr double from_end = 1e-3;
    for (const double side : {-1.0, 1.0}) {
        const Motion near = event_motion(MotionProgram::nose_polynomial, side * (1.0 - from_end));
        CHECK(near.s == Approx(140.0 * std::pow(from_end, 4)).epsilon(0.02));
        CHECK(near.v == Approx(-side * 560.0 * std::pow(from_end, 3)).epsilon(0.02));
        CHECK(near.a == Approx(1680.0 * std::pow(from_end, 2)).epsilon(0.02));
    }
}

TEST_CASE("every program is symmetric, and zero outside its event") {
    for (const MotionProgram program : every_program) {
        for (const double xi : {0.1, 0.37, 0.62, 0.99}) {
            const Motion opening = event_motion(program, -xi);
            const Motion closing = event_motion(program, xi);
            CHECK(opening.s == Approx(closing.s).epsilon(1e-14));
            CHECK(opening.v == Approx(-closing.v).epsilon(1e-14));
            CHECK(opening.v > 0.0);
            CHECK(opening.a == Approx(closing.a).epsilon(1e-14));
        }
        for (const double xi : {-2.0, -1.0, 1.0, 1.5}) CHECK(event_motion(program, xi).s == 0.0);
    }
}

TEST_CASE("velocity and acceleration are the derivatives of displacement") {
    constexpr double d = 1e-5;
    for (const MotionProgram program : every_program) {
        for (const double xi : {-0.95, -0.7, -0.31, -0.05, 0.2, 0.5, 0.83}) {
            const Motion before = event_motion(program, xi - d);
            const Motion here = event_motion(program, xi);
            const Motion after = event_motion(program, xi + d);
            CHECK(here.v == Approx((after.s - before.s) / (2.0 * d)).margin(2e-8));
            CHECK(here.a == Approx((after.v - before.v) / (2.0 * d)).margin(2e-6));
        }
    }
}
