// The heel found without being told where it is, on lobes in closed form.
#include "analysis/lobe/heel.hpp"

#include <cmath>
#include <stdexcept>
#include <vector>

#include <catch2/catch.hpp>

#include "../analysis/made_run.hpp"
#include "analysis/compare.hpp"
#include "analysis/errors.hpp"
#include "rig/model/lobe_model.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

constexpr std::size_t n = 720;

struct SetUpOff {
    double a_mm = 0.0;
    double b_mm = 0.0;
};

/// Mid-width readings on the grid, with some noise of a fitted curve.
std::vector<double> readings(const LobeModel& lobe, SetUpOff off, double noise_mm, std::uint64_t seed) {
    const LobeShape shape(lobe);
    Random random(seed);
    std::vector<double> values(n);
    for (std::size_t g = 0; g < n; ++g) {
        const Turned at(rad_from_deg(0.5 * static_cast<double>(g)));
        values[g] =
            shape.section(at).middle.h + off.a_mm * at.cos + off.b_mm * at.sin + noise_mm * random.normal();
    }
    return values;
}

/// How many degrees the arc begins behind the true heel's beginning and ends before its end.
struct Inside {
    double from_deg;
    double to_deg;
};

Inside inside(const LobeModel& lobe, GridArc arc) {
    const double from = 0.5 * static_cast<double>(arc.first);
    const double to = from + 0.5 * static_cast<double>(arc.count - 1);
    return {wrapped_deg(from - (lobe.nose_deg + lobe.closing_deg)),
            wrapped_deg(lobe.nose_deg - lobe.opening_deg - to)};
}

void check_found(const LobeModel& lobe, SetUpOff off) {
    constexpr double noise_mm = 1e-4;
    for (std::uint64_t seed = 1; seed <= 3; ++seed) {
        const auto arc = find_heel(readings(lobe, off, noise_mm, seed), noise_mm);
        const auto in = inside(lobe, arc);
        CAPTURE(lobe.nose_deg, off.a_mm, off.b_mm, in.from_deg, in.to_deg);
        // Three degrees are taken off either end; a ramp hides for some before it has risen 2 um.
        CHECK(in.from_deg > -4.0);
        CHECK(in.from_deg < 5.0);
        CHECK(in.to_deg > -4.0);
        CHECK(in.to_deg < 5.0);
    }
}

}  // namespace

TEST_CASE("the heel is found wherever the nose stands", "[heel]") {
    for (double nose_deg = 0.0; nose_deg < 360.0; nose_deg += 37.0) {
        LobeModel lobe;
        lobe.nose_deg = nose_deg;
        check_found(lobe, {});
    }
}

TEST_CASE("the heel is found on a cam set up to 0.2 mm off", "[heel]") {
    for (double toward_deg = 0.0; toward_deg < 360.0; toward_deg += 30.0) {
        for (const double off_mm : {0.01, 0.05, 0.2}) {
            LobeModel lobe;
            lobe.nose_deg = 125.0;
            check_found(lobe,
                        {off_mm * std::cos(toward_deg * degree), off_mm * std::sin(toward_deg * degree)});
        }
    }
}

TEST_CASE("the heel is found in spite of grinding form", "[heel]") {
    LobeModel lobe;
    lobe.nose_deg = 200.0;
    for (const double phase_deg : {0.0, 90.0, 180.0, 270.0}) {
        lobe.form = {{2, 0.0006, phase_deg}, {3, 0.0004, 2.0 * phase_deg}, {5, 0.0003, 30.0 + phase_deg}};
        check_found(lobe, {0.02, -0.03});
    }
}

TEST_CASE("long ramps and a long event leave a short heel", "[heel]") {
    LobeModel lobe;
    lobe.nose_deg = 60.0;
    for (const double ramp_deg : {0.0, 8.0, 20.0, 30.0}) {
        lobe.ramp_deg = ramp_deg;
        lobe.ramp_height_mm = ramp_deg > 0.0 ? 0.002 * ramp_deg : 0.0;
        lobe.opening_deg = lobe.closing_deg = 80.0 + 0.8 * ramp_deg;
        CAPTURE(ramp_deg);
        check_found(lobe, {0.01, 0.01});
    }
}

TEST_CASE("what has no flat stretch has no heel", "[heel]") {
    std::vector<double> twice(n), thrice(n);
    for (std::size_t g = 0; g < n; ++g) {
        const double rad = rad_from_deg(0.5 * static_cast<double>(g));
        twice[g] = 3.0 * std::cos(2.0 * rad);
        thrice[g] = 3.0 * std::cos(3.0 * rad);
    }
    CHECK_THROWS_AS(find_heel(twice, 1e-4), std::domain_error);
    CHECK_THROWS_AS(find_heel(thrice, 1e-4), std::domain_error);
}

TEST_CASE("an eccentric journal is no lobe", "[heel]") {
    // A sine is a circle off its axis: nothing but heel, and no lift.
    const auto sine = [](double rad, double) { return 3.0 * std::cos(rad); };
    std::string text;
    try {
        (void)inspect_run(made_run(sine, {.step_deg = 0.5, .noise_mm = 3e-4}));
    } catch (const DataError& error) {
        text = error.what();
    }
    CAPTURE(text);
    CHECK(text.find("'1E'") != std::string::npos);
    CHECK(text.find("check that the sweep is of this lobe") != std::string::npos);
}
