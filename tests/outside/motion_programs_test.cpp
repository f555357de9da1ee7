// Lift programs recovered through the chain. Programs after Rothbart (ed.), Cam Design Handbook, ch. 2-3, and Norton,
// Cam Design and Manufacturing Handbook, both from memory. Every digit derived, numerically verified: closed forms,
// derivatives and a numerical double integration agree.
#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <numbers>
#include <string>
#include <vector>

#include <catch2/catch.hpp>

#include "../analysis/made_run.hpp"
#include "analysis/compare.hpp"
#include "analysis/follower/grid_curve.hpp"
#include "analysis/lobe/lobe_curve.hpp"
#include "analysis/sweep/clean_sweep.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

constexpr double pi = std::numbers::pi;
constexpr double lift_mm = 6.0, rise_deg = 60.0;

double harmonic(double x) {
    return 0.5 * (1.0 - std::cos(pi * x));
}
double cycloidal(double x) {
    return x - std::sin(2.0 * pi * x) / (2.0 * pi);
}
double polynomial_345(double x) {
    return x * x * x * (10.0 + x * (-15.0 + 6.0 * x));
}
double polynomial_4567(double x) {
    return x * x * x * x * (35.0 + x * (-84.0 + x * (70.0 - 20.0 * x)));
}
/// An acceleration of sine quarters and constant pieces, Ca = 8 pi/(2 + pi), integrated twice piece by piece; s(1 -
/// x) = 1 - s(x).
double modified_trapezoid(double x) {
    if (x > 0.5) return 1.0 - modified_trapezoid(1.0 - x);
    const double peak = 8.0 * pi / (2.0 + pi), w = 4.0 * pi;
    if (x <= 0.125) return peak * (x / w - std::sin(w * x) / (w * w));
    const double v1 = peak / w, s1 = peak * (0.125 / w - 1.0 / (w * w)), u = x - 0.125;
    if (x <= 0.375) return s1 + v1 * u + 0.5 * peak * u * u;
    const double v2 = v1 + 0.25 * peak, s2 = s1 + 0.25 * v1 + peak / 32.0, t = x - 0.375;
    return s2 + v2 * t + peak * (1.0 - std::cos(w * t)) / (w * w);
}
double modified_sine(double x) {
    if (x <= 0.125) return (pi * x - std::sin(4.0 * pi * x) / 4.0) / (4.0 + pi);
    if (x <= 0.875) return (2.0 + pi * x - 2.25 * std::sin(4.0 * pi * x / 3.0 + pi / 3.0)) / (4.0 + pi);
    return (4.0 + pi * x - std::sin(4.0 * pi * x) / 4.0) / (4.0 + pi);
}

struct Program {
    std::string name;
    std::function<double(double)> s;
    std::array<double, 7> table;  // at the x below
    double cv;                    // peak velocity over L/beta, at x = 1/2
    double ca;                    // peak acceleration over L/beta^2
    double at;                    // x of that peak
    double v_04, a_025;           // velocity at x = 0.4 and acceleration at x = 0.25, over the same
};
constexpr std::array<double, 7> places{0.05, 0.10, 0.125, 0.20, 0.25, 0.30, 0.40};
const std::array<Program, 6> programs{
    {{"harmonic",
      harmonic,
      {0.0061558297, 0.0244717419, 0.0380602337, 0.0954915028, 0.1464466094, 0.2061073739, 0.3454915028},
      1.570796,
      4.934802,
      1.0,
      1.49391608,
      3.48943210},
     {"cycloidal",
      cycloidal,
      {0.0008184178, 0.0064510716, 0.0124604605, 0.0486346543, 0.0908450569, 0.1486346543, 0.3064510716},
      2.0,
      6.283185,
      0.25,
      1.80901699,
      6.28318531},
     {"3-4-5",
      polynomial_345,
      {0.0011581250, 0.0085600000, 0.0160522461, 0.0579200000, 0.1035156250, 0.1630800000, 0.3174400000},
      1.875,
      5.773503,
      0.21132,
      1.72800000,
      5.62500000},
     {"4-5-6-7",
      polynomial_4567,
      {0.0001935781, 0.0027280000, 0.0062389374, 0.0333440000, 0.0705566406, 0.1260360000, 0.2897920000},
      2.1875,
      7.513188,
      0.27639,
      1.93536000,
      7.38281250},
     {"modified trapezoid",
      modified_trapezoid,
      {0.0012546835, 0.0094590641, 0.0176686609, 0.0605903487, 0.1044801940, 0.1605903487, 0.3094590641},
      2.0,
      4.888124,
      0.25,
      1.73121830,
      4.88812376},
     {"modified sine",
      modified_sine,
      {0.0014189159, 0.0106972128, 0.0199814087, 0.0683938993, 0.1171784846, 0.1778877626, 0.3278651875},
      1.759603,
      5.527957,
      0.125,
      1.64550911,
      4.78735125}}};

double lobe_mm(const Program& program, double angle_rad) {
    const double x = 1.0 - std::fabs(from_nose_deg(angle_rad, 180.0)) / rise_deg;
    return x > 0.0 ? lift_mm * program.s(x) : 0.0;
}

}  // namespace

TEST_CASE("the programs as written here are the published ones", "[outside][lift]") {
    for (const auto& program : programs) {
        for (std::size_t i = 0; i < places.size(); ++i) {
            CAPTURE(program.name, places[i]);
            CHECK(program.s(places[i]) == Approx(program.table[i]).margin(1e-10));
            CHECK(program.s(1.0 - places[i]) == Approx(1.0 - program.table[i]).margin(1e-10));
        }
    }
}

TEST_CASE("every program's lift is found on both flanks", "[outside][lift]") {
    for (const auto& program : programs) {
        const Run run = made_run([&](double rad, double) { return lobe_mm(program, rad); },
                                 {.step_deg = 0.25, .noise_mm = 2e-5, .seed = 5});
        const auto figures = inspect_run(run);
        const auto& lobe = figures.lobes.at(0);
        CAPTURE(program.name);
        CHECK(lobe.lift.used_mm.value == Approx(lift_mm).margin(5e-4));
        CHECK(wrapped_deg(lobe.nose_deg.value - 180.0) == Approx(0.0).margin(1e-3));
        for (std::size_t i = 0; i < places.size(); ++i) {
            for (const bool opening : {true, false}) {
                const double psi = rise_deg * (1.0 - places[i]);
                const double at_deg = opening ? 180.0 - psi : 180.0 + psi;
                const auto g = static_cast<std::size_t>(std::lround(2.0 * at_deg));
                CAPTURE(places[i], opening);
                CHECK(lobe.curves.front_mm.at(g) == Approx(lift_mm * program.table[i]).margin(5e-4));
            }
        }
    }
}

namespace {

const double beta = rise_deg * degree;

Run run_of(const Program& program, double noise_mm) {
    return made_run([&](double rad, double) { return lobe_mm(program, rad); },
                    {.step_deg = 0.1, .noise_mm = noise_mm, .seed = 7});
}

/// Velocity and acceleration of the lift at mid-width over L/beta and L/beta^2, on the grid.
struct Factors {
    std::vector<double> velocity, acceleration;

    [[nodiscard]] static std::size_t opening(double x) {
        return static_cast<std::size_t>(std::lround(2.0 * (180.0 - rise_deg * (1.0 - x))));
    }
    /// Largest sizes over the event, less its first and last twentieth: a harmonic rise's acceleration jumps there.
    [[nodiscard]] double largest(const std::vector<double>& curve) const {
        double most = 0.0;
        for (std::size_t g = opening(0.05); g <= 720 - opening(0.05); ++g)
            most = std::max(most, std::fabs(curve[g]));
        return most;
    }
};

Factors factors_of(const Run& run) {
    const auto figures = inspect_run(run);
    const auto& curves = figures.lobes.at(0).curves;
    std::vector<double> lift(curves.front_mm.size());
    for (std::size_t g = 0; g < lift.size(); ++g) lift[g] = 0.5 * (curves.front_mm[g] + curves.rear_mm[g]);
    auto velocity = first_derivative(lift), acceleration = second_derivative(lift);
    for (double& v : velocity) v *= beta / lift_mm;
    for (double& a : acceleration) a *= beta * beta / lift_mm;
    return {velocity, acceleration};
}

}  // namespace

TEST_CASE("peak velocity and acceleration of every program come back from readings", "[outside][lift]") {
    for (const auto& program : programs) {
        CAPTURE(program.name);
        const auto found = factors_of(run_of(program, 0.0));
        CHECK(found.largest(found.velocity) == Approx(program.cv).epsilon(1e-6));
        // The grid passes by the peak of the acceleration within a quarter of a degree: 1.7e-4 of 3-4-5.
        CHECK(found.largest(found.acceleration) == Approx(program.ca).epsilon(2e-4));
        const auto at_04 = Factors::opening(0.4), at_025 = Factors::opening(0.25);
        CHECK(found.velocity[at_04] == Approx(program.v_04).epsilon(1e-5));
        CHECK(found.velocity[720 - at_04] == Approx(-program.v_04).epsilon(1e-5));
        CHECK(found.acceleration[at_025] == Approx(program.a_025).epsilon(1e-4));
        CHECK(found.acceleration[720 - at_025] == Approx(program.a_025).epsilon(1e-4));
    }
}

TEST_CASE("peak velocity of every program in half a micrometre of noise", "[outside][lift]") {
    // Handbooks' own tables of these factors agree to 0.2 %.
    for (const auto& program : programs) {
        CAPTURE(program.name);
        const auto found = factors_of(run_of(program, 5e-4));
        CHECK(found.largest(found.velocity) == Approx(program.cv).epsilon(2e-3));
    }
}

TEST_CASE("peak acceleration of every program in half a micrometre of noise", "[outside][lift]") {
    // At the place of the peak, against what the fit itself says of it: its noise, and what its smoothing shaves.
    for (const auto& program : programs) {
        CAPTURE(program.name);
        const Run run = run_of(program, 5e-4);
        const auto curve = fit_lobe_curve("1E", {clean_sweep(run.sweeps.at(0), run.rig)}, run.rig);
        const std::size_t knots = curve.front.knots();
        const PeriodicSpline shaved(curve.solver.smoothing_bias(curve.front));
        for (const double side : {-1.0, 1.0}) {
            const double at_rad = (180.0 + side * rise_deg * (1.0 - program.at)) * degree;
            std::vector<double> l(knots, 0.0);
            for (std::size_t j = 0; j < knots; ++j) {
                std::vector<double> one(knots, 0.0);
                one[j] = 1.0;
                l[j] = PeriodicSpline(one).second_derivative(at_rad);
            }
            const double sd = std::sqrt(curve.solver.variance(curve.system, l) * curve.noise.factor_front);
            const double bias = std::fabs(shaved.second_derivative(at_rad));
            const double peak = (program.at < 0.5 ? 1.0 : -1.0) * program.ca * lift_mm / (beta * beta);
            CAPTURE(side, sd / std::fabs(peak), bias / std::fabs(peak));
            CHECK(curve.front.second_derivative(at_rad) == Approx(peak).margin(3.0 * (sd + bias)));
            CHECK(sd < 0.1 * std::fabs(peak));  // least smooth where the program's acceleration jumps: 0.08
        }
    }
}
