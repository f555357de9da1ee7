// Lift programs recovered through the chain. Programs after Rothbart (ed.), Cam Design Handbook, ch. 2-3, and Norton,
// Cam Design and Manufacturing Handbook, both from memory. Every digit derived, numerically verified: closed forms,
// derivatives and a numerical double integration agree.
#include <array>
#include <cmath>
#include <functional>
#include <numbers>
#include <string>

#include <catch2/catch.hpp>

#include "../analysis/made_run.hpp"
#include "analysis/compare.hpp"

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
};
constexpr std::array<double, 7> places{0.05, 0.10, 0.125, 0.20, 0.25, 0.30, 0.40};
const std::array<Program, 6> programs{
    {{"harmonic",
      harmonic,
      {0.0061558297, 0.0244717419, 0.0380602337, 0.0954915028, 0.1464466094, 0.2061073739, 0.3454915028}},
     {"cycloidal",
      cycloidal,
      {0.0008184178, 0.0064510716, 0.0124604605, 0.0486346543, 0.0908450569, 0.1486346543, 0.3064510716}},
     {"3-4-5",
      polynomial_345,
      {0.0011581250, 0.0085600000, 0.0160522461, 0.0579200000, 0.1035156250, 0.1630800000, 0.3174400000}},
     {"4-5-6-7",
      polynomial_4567,
      {0.0001935781, 0.0027280000, 0.0062389374, 0.0333440000, 0.0705566406, 0.1260360000, 0.2897920000}},
     {"modified trapezoid",
      modified_trapezoid,
      {0.0012546835, 0.0094590641, 0.0176686609, 0.0605903487, 0.1044801940, 0.1605903487, 0.3094590641}},
     {"modified sine",
      modified_sine,
      {0.0014189159, 0.0106972128, 0.0199814087, 0.0683938993, 0.1171784846, 0.1778877626, 0.3278651875}}}};

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
