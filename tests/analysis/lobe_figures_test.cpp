// Figures of one lobe as docs/figures.md defines them, on a lobe in closed form whose taper, centreline and set-up are known.
#include <algorithm>
#include <cmath>
#include <string>

#include <catch2/catch.hpp>

#include "analysis/compare.hpp"
#include "made_run.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

// 3-4-5 flanks of unequal length about a peak at 180 degrees: at half the lift, x = 1/2, they stand 30 and 40 degrees
// from it, so that the centreline stands at 185.
constexpr double lift_mm = 6.0, peak_deg = 180.0, opening_deg = 60.0, closing_deg = 80.0,
                 centreline_deg = 185.0;
constexpr double ramp_taper_mm = 0.020, worn_taper_mm = 0.018, worn_deg = 12.0;

double lobe_mm(double rad) {
    const double from_peak = from_nose_deg(rad, peak_deg);
    const double x = 1.0 - std::fabs(from_peak) / (from_peak < 0.0 ? opening_deg : closing_deg);
    return x > 0.0 ? lift_mm * x * x * x * (10.0 + x * (-15.0 + 6.0 * x)) : 0.0;
}

/// The lobe's taper over its width: even, but gone about the centreline.
double taper_mm(double rad) {
    const double u = from_nose_deg(rad, centreline_deg) / worn_deg;
    const double rest = std::max(0.0, 1.0 - u * u);
    return ramp_taper_mm - worn_taper_mm * rest * rest * rest;
}

/// Mean of (1 - u^2)^3 from 0 to `deg` off the centreline.
double mean_worn(double deg) {
    const double u = deg / worn_deg;
    return 1.0 - u * u + 0.6 * std::pow(u, 4) - std::pow(u, 6) / 7.0;
}

struct SetUpOff {
    double a_mm = 0.0;
    double b_mm = 0.0;
};

Run lobe_run(SetUpOff off = {}) {
    return made_run(
        [=](double rad, double z_mm) {
            return lobe_mm(rad) + taper_mm(rad) * z_mm / 12.0 + off.a_mm * std::cos(rad) +
                   off.b_mm * std::sin(rad);
        },
        {.step_deg = 0.05, .noise_mm = 1e-4, .seed = 3});
}

LobeFigures figures_of(const Run& run) {
    return inspect_run(run).lobes.at(0);
}

// 0.1 um of noise on 7200 rows leaves less than 0.02 um in a mean; the flanks' curve is smoothed by less.
constexpr double fine_mm = 1e-4;

}  // namespace

TEST_CASE("the centreline lies midway between the flanks, wherever the peak is", "[figures]") {
    const auto lobe = figures_of(lobe_run());
    CHECK(wrapped_deg(lobe.nose_deg.value - centreline_deg) == Approx(0.0).margin(1e-3));
    CHECK(lobe.lift.used_mm.value == Approx(lift_mm).margin(fine_mm));
}

TEST_CASE("taper on the base circle, the flanks and within two degrees of the centreline", "[figures]") {
    const auto lobe = figures_of(lobe_run());
    CHECK(lobe.taper.datum == TaperDatum::mastered);
    CHECK(lobe.taper.high_side == HighSide::rear);
    CHECK(lobe.taper.base_mm.value == Approx(ramp_taper_mm).margin(fine_mm));
    CHECK(lobe.taper.opening_mm.value == Approx(ramp_taper_mm).margin(fine_mm));
    CHECK(lobe.taper.closing_mm.value == Approx(ramp_taper_mm).margin(fine_mm));
    CHECK(lobe.taper.nose_mm.value == Approx(ramp_taper_mm - worn_taper_mm * mean_worn(2.0)).margin(fine_mm));
}

TEST_CASE("a flank is what lies between a fifth and four fifths of the lift", "[figures]") {
    // Taper falls with the square of the lift, so that its mean tells where the flanks begin and end. Both flanks have
    // the same mean of s^2 from s = 0.2 to 0.8, whatever their length.
    const Run run = made_run(
        [](double rad, double z_mm) {
            const double s = lobe_mm(rad) / lift_mm;
            return lobe_mm(rad) + (ramp_taper_mm - worn_taper_mm * s * s) * z_mm / 12.0;
        },
        {.step_deg = 0.05, .noise_mm = 1e-4, .seed = 3});
    double sum = 0.0, count = 0.0;
    for (double x = 0.0; x < 1.0; x += 1e-5) {
        const double s = x * x * x * (10.0 + x * (-15.0 + 6.0 * x));
        if (s < 0.2 || s > 0.8) continue;
        sum += s * s;
        count += 1.0;
    }
    const auto lobe = figures_of(run);
    CHECK(lobe.taper.opening_mm.value == Approx(ramp_taper_mm - worn_taper_mm * sum / count).margin(fine_mm));
    CHECK(lobe.taper.closing_mm.value == Approx(ramp_taper_mm - worn_taper_mm * sum / count).margin(fine_mm));
}

TEST_CASE("taper without a front-to-rear zero is relative to the base circle's", "[figures]") {
    Run run = lobe_run();
    run.datum.reset();
    const auto found = inspect_run(run);
    const auto& lobe = found.lobes.at(0);
    CHECK(lobe.taper.datum == TaperDatum::base_circle);
    CHECK(lobe.taper.high_side == HighSide::unknown);
    CHECK(lobe.taper.base_mm.value == 0.0);
    CHECK(lobe.taper.opening_mm.value == Approx(0.0).margin(fine_mm));
    CHECK(lobe.taper.nose_mm.value == Approx(-worn_taper_mm * mean_worn(2.0)).margin(fine_mm));
    CHECK_FALSE(lobe.wear.flat_arc_deg.known());
    CHECK_FALSE(found.thrust.share.known());
    CHECK(std::any_of(lobe.notes.begin(), lobe.notes.end(),
                      [](const std::string& note) { return note.find("[datum]") != std::string::npos; }));
}

TEST_CASE("the datum's uncertainty and sign reach the taper, scaled to the width", "[figures]") {
    Run run = lobe_run();
    run.datum->rear_minus_front_mm = 0.004;
    run.datum->u_mm = 0.0008;
    const auto lobe = figures_of(run);
    CHECK(lobe.taper.base_mm.value == Approx(ramp_taper_mm - 0.004 * 12.0 / 8.0).margin(fine_mm));
    CHECK(lobe.taper.base_mm.u95 == Approx(1.959964 * 0.0008 * 12.0 / 8.0).epsilon(0.01));
}

TEST_CASE("the flat arc reaches as far as the taper stays below the limit", "[figures]") {
    // ramp - worn (1 - u^2)^3 = limit at u^2 = 1 - ((ramp - limit)/worn)^(1/3). The taper is taken two degrees together,
    // which raises it by a sixth of its second derivative, 0.125 um at most: a tenth of a degree at either end.
    for (const double limit_mm : {0.003, 0.008, 0.015}) {
        const double u = std::sqrt(1.0 - std::cbrt((ramp_taper_mm - limit_mm) / worn_taper_mm));
        AnalysisOptions options;
        options.flat_taper_mm = limit_mm;
        const auto arc = inspect_run(lobe_run(), options).lobes.at(0).wear.flat_arc_deg;
        CAPTURE(limit_mm);
        CHECK(arc.value == Approx(2.0 * worn_deg * u).margin(0.3));
    }
    AnalysisOptions strict;
    strict.flat_taper_mm = 0.0015;
    CHECK(inspect_run(lobe_run(), strict).lobes.at(0).wear.flat_arc_deg.value == 0.0);
}

TEST_CASE("a cam set up off its axis: eccentricity, runout and no change of lift", "[figures]") {
    const auto square = figures_of(lobe_run());
    const auto off = figures_of(lobe_run({-0.03, 0.04}));
    CHECK(off.base_circle.eccentricity_mm.value == Approx(0.05).margin(fine_mm));
    CHECK(off.base_circle.eccentricity_deg == Approx(deg_from_rad(std::atan2(0.04, -0.03))).margin(0.1));
    // The heel runs from 260 over 360 to 480 degrees. The reading -0.03 cos + 0.04 sin is highest at 127 degrees (487),
    // beyond its end, and lowest at 307, on it.
    const double to_rad = off.base_circle.to_deg * degree;
    const double highest = -0.03 * std::cos(to_rad) + 0.04 * std::sin(to_rad);
    CHECK(off.base_circle.runout_mm.front.value == Approx(highest + 0.05).margin(fine_mm));
    CHECK(off.base_circle.runout_mm.rear.value == Approx(highest + 0.05).margin(fine_mm));
    CHECK(square.base_circle.eccentricity_mm.value == Approx(0.0).margin(fine_mm));
    CHECK(off.lift.used_mm.value == Approx(square.lift.used_mm.value).margin(fine_mm));
    CHECK(off.taper.base_mm.value == Approx(square.taper.base_mm.value).margin(fine_mm));
    CHECK(off.nose_deg.value == Approx(square.nose_deg.value).margin(1e-3));
}
