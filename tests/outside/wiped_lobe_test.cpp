// A lobe wiped down in proportion to its lift, in closed form: metal lost between two convex outlines is half the
// integral of wear times both radii of curvature, and the integral of (ds/dx)^2 of the 3-4-5 rise is 10/7. Both
// derived, numerically verified.
#include <cmath>

#include <catch2/catch.hpp>

#include "../analysis/made_run.hpp"
#include "analysis/compare.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

constexpr double rise_deg = 70.0, lift_mm = 6.0, wiped_mm = 0.6;

/// 3-4-5 rise and fall about 180 degrees.
Reading lobe_of(double lift) {
    return [lift](double rad, double) {
        const double x = 1.0 - std::fabs(from_nose_deg(rad, 180.0)) / rise_deg;
        return x > 0.0 ? lift * x * x * x * (10.0 + x * (-15.0 + 6.0 * x)) : 0.0;
    };
}

}  // namespace

TEST_CASE("a wiped lobe: loss, area, volume and stock", "[outside][wear]") {
    const Run reference = made_run(lobe_of(lift_mm), {.step_deg = 0.05, .noise_mm = 3e-4, .seed = 1});
    const Run used = made_run(lobe_of(lift_mm - wiped_mm), {.step_deg = 0.05, .noise_mm = 3e-4, .seed = 2});
    const auto figures = compare_runs(reference, used);
    const auto& lobe = figures.lobes.at(0);
    // With s the rise from 0 to 1 over beta: the integral of s over the event is beta, that of s^2 2 beta times
    // that of (10x^3 - 15x^4 + 6x^5)^2, and h'' goes over to -s' by parts.
    const double beta = rise_deg * degree;
    const double s_squared = 100.0 / 7.0 - 300.0 / 8.0 + 345.0 / 9.0 - 18.0 + 36.0 / 11.0;
    const double mean_lift = lift_mm - 0.5 * wiped_mm;
    const double section =
        wiped_mm * (15.0 * beta + mean_lift * 2.0 * beta * s_squared - mean_lift * 2.0 * (10.0 / 7.0) / beta);
    CHECK(lobe.lift.reference_mm.value == Approx(lift_mm).margin(3e-4));
    CHECK(lobe.lift.loss_mm.value == Approx(wiped_mm).margin(3e-4));
    CHECK(lobe.wear.nose_depth_mm.value ==
          Approx(wiped_mm).margin(3e-3 * wiped_mm));  // falls by 0.3 % within 2 degrees
    CHECK(lobe.wear.max_depth_mm.value == Approx(wiped_mm).margin(1e-3));
    CHECK(lobe.stock_to_clean_mm.value == Approx(wiped_mm).margin(1e-3));
    CHECK(lobe.wear.area_mm_deg.value == Approx(wiped_mm * rise_deg).epsilon(1e-3));
    CHECK(lobe.wear.volume_mm3.value == Approx(12.0 * section).epsilon(1e-3));
}
