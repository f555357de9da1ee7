// A reference laid over a used lobe: known shifts come back, and lobes that don't belong together are refused.
#include "analysis/wear/registration.hpp"

#include <cmath>
#include <string>
#include <utility>
#include <vector>

#include <catch2/catch.hpp>

#include "../analysis/made_run.hpp"
#include "analysis/compare.hpp"
#include "analysis/errors.hpp"
#include "analysis/sweep/clean_sweep.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

constexpr LobeGeometry geometry{-4.0, 4.0, 12.0};

/// A 3-4-5 lobe of 6 mm with its nose at `nose_deg` and flanks of `rise_deg`.
Reading lobe_at(double nose_deg, double rise_deg = 70.0) {
    return [=](double rad, double) {
        const double x = 1.0 - std::fabs(from_nose_deg(rad, nose_deg)) / rise_deg;
        return x > 0.0 ? 6.0 * x * x * x * (10.0 + x * (-15.0 + 6.0 * x)) : 0.0;
    };
}

LobeCurve curve_of(const Reading& reading, std::uint64_t seed) {
    const Run run = made_run(reading, {.step_deg = 0.1, .noise_mm = 2e-4, .seed = seed});
    std::vector<CleanSweep> clean;
    clean.push_back(clean_sweep(run.sweeps.at(0), run.rig));
    return fit_lobe_curve("1E", std::move(clean), run.rig);
}

Registered registered(const Reading& reference, const Reading& used) {
    return register_lobes(curve_of(reference, 1), curve_of(used, 2), geometry, geometry);
}

std::string refusal(const Reading& reference, const Reading& used) {
    try {
        (void)registered(reference, used);
    } catch (const DataError& error) {
        return error.what();
    }
    return "not refused";
}

}  // namespace

TEST_CASE("a known shift is found, however large", "[registration]") {
    for (const double shift_deg : {0.0, 0.013, -0.4, 13.7, 90.25, -179.9}) {
        const auto found = registered(lobe_at(140.0), lobe_at(140.0 + shift_deg));
        CAPTURE(shift_deg);
        // Least squares' limit (Gauss-Markov; derived, numerically verified): two noisy curves registered on 20 to
        // 80 % of their lift, from 720 rows of 1 um 8.4e-4 degrees on a 4-5-6-7 lobe; 3600 rows of 0.2 um and two
        // indicators leave 5e-5.
        CHECK(wrapped_deg(deg_from_rad(found.delta_rad) - shift_deg) == Approx(0.0).margin(2.5e-4));
    }
}

TEST_CASE("the reference lies over the used lobe once it is shifted", "[registration]") {
    const auto found = registered(lobe_at(140.0), lobe_at(153.7));
    double worst = 0.0;
    for (std::size_t g = 0; g < grid_points; ++g) {
        worst = std::max(worst, std::fabs(found.used.front[g] - found.reference.front[g]));
    }
    CHECK(worst < 5e-4);
    CHECK(found.used_marks.peak.at == Approx(2.0 * 153.7).margin(2.0));
    CHECK(found.reference_marks.half.middle() == Approx(2.0 * 153.7).margin(0.01));
}

TEST_CASE("the heel in common lies inside both heels", "[registration]") {
    const auto reference = curve_of(lobe_at(140.0, 60.0), 1);
    const auto used = curve_of(lobe_at(150.0, 60.0), 2);
    const auto found = register_lobes(reference, used, geometry, geometry);
    for (std::size_t g = 0; g < grid_points; ++g) {
        if (!found.heel.holds(g, grid_points)) continue;
        CHECK(used.heel.holds(g, grid_points));
        // the reference's heel, 10 degrees on, to the nearest grid point
        const std::size_t back = (g + grid_points - 20) % grid_points;
        CHECK((reference.heel.holds(back, grid_points) ||
               reference.heel.holds((back + 1) % grid_points, grid_points) ||
               reference.heel.holds((back + grid_points - 1) % grid_points, grid_points)));
    }
}

TEST_CASE("wear that is even on both flanks doesn't move the phase", "[registration]") {
    const auto worn = [](double rad, double z_mm) {
        const double lift = lobe_at(140.0)(rad, z_mm);
        return lift - 0.05 * lift / 6.0;
    };
    CHECK(deg_from_rad(registered(lobe_at(140.0), worn).delta_rad) == Approx(0.0).margin(2.5e-4));
}

TEST_CASE("a lobe of another event is refused, whichever of the two is the longer", "[registration]") {
    const auto shorter = refusal(lobe_at(140.0, 70.0), lobe_at(140.0, 50.0));
    CAPTURE(shorter);
    CHECK(shorter.find("lobe '1E'") != std::string::npos);
    CHECK(shorter.find("check that both runs are of the same cam") != std::string::npos);
    CHECK(refusal(lobe_at(140.0, 70.0), lobe_at(140.0, 62.0)).find("same cam") != std::string::npos);
    CHECK(refusal(lobe_at(140.0, 50.0), lobe_at(140.0, 70.0)).find("proud") != std::string::npos);
}

TEST_CASE("a lobe of more lift is refused: wear only takes metal away", "[registration]") {
    for (const double gain : {1.03, 1.1, 1.5}) {
        const auto higher = refusal(
            lobe_at(140.0), [=](double rad, double z_mm) { return gain * lobe_at(140.0)(rad, z_mm); });
        CAPTURE(gain, higher);
        CHECK(higher.find("proud") != std::string::npos);
    }
}

TEST_CASE("a lobe wiped nearly round is laid over its reference", "[registration]") {
    const auto whole = lobe_at(140.0);
    for (const double left : {0.9, 0.5, 0.2, 0.1}) {
        CAPTURE(left);
        // in proportion to its lift, and cut off flat with the ramps as new
        const auto wiped = [=](double rad, double z_mm) { return left * whole(rad, z_mm); };
        const auto cut = [=](double rad, double z_mm) {
            const double lift = whole(rad, z_mm), top = 6.0 * left;
            return lift / std::pow(1.0 + std::pow(lift / top, 4.0), 0.25);
        };
        CHECK(deg_from_rad(registered(whole, wiped).delta_rad) == Approx(0.0).margin(0.01));
        CHECK(deg_from_rad(registered(whole, cut).delta_rad) == Approx(0.0).margin(0.01));
    }
}
