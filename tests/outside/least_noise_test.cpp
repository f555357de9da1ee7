// How much of the noise reaches the figures, against the least that any method can let through. White noise sigma =
// 1 um on each of N = 720 readings of each indicator; least squares reaches these limits (Gauss-Markov; Cramer-Rao
// for Gaussian noise, Kay, Statistical Signal Processing: Estimation Theory, from memory); digits derived,
// numerically verified, phase and nose by Monte Carlo too. Lobe: lift 6, 4-5-6-7 rise and fall of 60 cam degrees
// each, so that its heel has 240 degrees.
//
// The table's figures are for one curve of readings. Here two indicators, 8 mm apart about the middle of a
// lobe of 12 mm, each have their own noise: at mid-width it is sqrt2 less, at an edge hypot(1.25, 0.25)
// = 1.275 of it.
#include <cmath>
#include <string>

#include <catch2/catch.hpp>

#include "../analysis/made_run.hpp"
#include "analysis/compare.hpp"
#include "analysis/lobe/lobe_on_grid.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

constexpr int runs = 200;
const double monte_carlo =
    4.0 / std::sqrt(2.0 * runs);  // what a standard deviation of `runs` runs scatters by
constexpr double sigma_mm = 1e-3;
constexpr double eccentricity_mm = 0.010;

double lift_mm(double angle_rad) {
    const double x = 1.0 - std::fabs(from_nose_deg(angle_rad, 180.0)) / 60.0;
    if (x <= 0.0) return 0.0;
    return 6.0 * x * x * x * x * (35.0 + x * (-84.0 + x * (70.0 - 20.0 * x)));
}

/// Deviations of one figure from its truth over the runs, and what it was stated to be known to.
struct Spread {
    double squares = 0.0;
    double sum = 0.0;
    double stated_squares = 0.0;

    void add(const Measured& found, double truth) {
        const double error = found.value - truth;
        sum += error;
        squares += error * error;
        stated_squares += found.u95 * found.u95 / (1.96 * 1.96);
    }
    [[nodiscard]] double rms() const { return std::sqrt(squares / runs); }
    [[nodiscard]] double stated() const { return std::sqrt(stated_squares / runs); }
};

struct Study {
    Spread phase_deg, lift, loss, eccentricity, runout_front, taper_base;
};

/// Two runs of one cam, again and again. The once-per-turn part lies along the heel's middle for the
/// eccentricity
/// (`across` false) and across it for the runout, whose highest and lowest then lie on the heel.
Study study(double step_deg, bool across) {
    Study out;
    for (int i = 0; i < runs; ++i) {
        const auto reading = [&](double rad, double) {
            return lift_mm(rad) + eccentricity_mm * (across ? std::sin(rad) : std::cos(rad));
        };
        const auto seed = static_cast<std::uint64_t>(2 * i);
        const Run reference =
            made_run(reading, {.step_deg = step_deg, .noise_mm = sigma_mm, .seed = seed + 1});
        const Run used = made_run(reading, {.step_deg = step_deg, .noise_mm = sigma_mm, .seed = seed + 2});
        const auto figures = compare_runs(reference, used);
        const auto& lobe = figures.lobes.at(0);
        out.phase_deg.add(lobe.phase_shift_deg, 0.0);
        out.lift.add(lobe.lift.used_mm, 6.0);
        out.loss.add(lobe.lift.loss_mm, 0.0);
        out.eccentricity.add(lobe.base_circle.eccentricity_mm, eccentricity_mm);
        out.runout_front.add(lobe.base_circle.runout_mm.front, 2.0 * eccentricity_mm);
        out.taper_base.add(lobe.taper.base_mm, 0.0);
    }
    return out;
}

const double root2 = std::sqrt(2.0);
/// Phase of two noisy curves registered, 7.146428e-4 degrees, on 20 to 80 % of the lift, times 1.172797113.
const double phase_limit_deg = 7.146428e-4 * 1.172797113 / root2;
/// Two lifts at the nose: a local quadratic through M = 21 points, 0.327950, and the base circle of 240
/// degrees continued to there, 0.142602.
const double loss_limit_mm = sigma_mm * std::hypot(0.327950, 0.142602);
/// A sinusoid fitted on 240 degrees, N = 481: N var(a) = 4.406970, N var(b) = 1.656517, N var(c0) = 1.746586. Taper
/// is rear less front, scaled to the width: (12/8) sqrt2. The runout across the heel is twice the amplitude.
const double eccentricity_limit_mm = sigma_mm * std::sqrt(4.406970 / 481.0) / root2;
const double taper_limit_mm = sigma_mm * 2.121320 * std::sqrt(1.746586 / 481.0);
const double runout_limit_mm = sigma_mm * 2.0 * std::hypot(1.25, 0.25) * std::sqrt(1.656517 / 481.0);

void check_near_limit(const std::string& name, const Spread& spread, double limit) {
    CAPTURE(name, spread.rms() / limit);
    CHECK(spread.rms() < 1.3 * limit);
    CHECK(spread.rms() > (1.0 - monte_carlo) * limit);
}

/// Stated for what it is, or for more: a tenth of the noise is always counted as the rig's slow wander.
void check_stated(const std::string& name, const Spread& spread) {
    CAPTURE(name, spread.rms(), spread.stated());
    CHECK(spread.stated() > (1.0 - monte_carlo) * spread.rms());
}

}  // namespace

TEST_CASE("phase, lift lost, eccentricity and taper come near the least noise possible",
          "[outside][limits]") {
    const Study found = study(0.5, false);
    check_near_limit("phase", found.phase_deg, phase_limit_deg);
    check_near_limit("lift", found.lift, loss_limit_mm / root2);  // one lift: half the variance of a loss
    check_near_limit("loss", found.loss, loss_limit_mm);
    check_near_limit("eccentricity", found.eccentricity, eccentricity_limit_mm);
    check_near_limit("taper", found.taper_base, taper_limit_mm);
    check_stated("phase", found.phase_deg);
    check_stated("lift", found.lift);
    check_stated("loss", found.loss);
    check_stated("eccentricity", found.eccentricity);
    check_stated("taper", found.taper_base);
    // Both runs' smoothing shaves the same nose alike and cancels in what was lost.
    CHECK(found.loss.stated() < 1.5 * found.loss.rms());
}

TEST_CASE("noise of taper over the lobe's width and of its middle", "[outside][limits]") {
    // Tips 8 apart on a lobe of 12, each of unit standard deviation: (12/8) sqrt2 and 1/sqrt2. Derived.
    const LobeGeometry geometry{-4.0, 4.0, 12.0};
    const EdgeMix front = geometry.front_edge(), rear = geometry.rear_edge(), mid = geometry.mid();
    CHECK(std::hypot(rear.front - front.front, rear.rear - front.rear) == Approx(2.121320).margin(1e-6));
    CHECK(geometry.taper_scale() * root2 == Approx(2.121320).margin(1e-6));
    CHECK(std::hypot(mid.front, mid.rear) == Approx(0.707107).margin(1e-6));
}

TEST_CASE("runout comes near the least noise possible", "[outside][limits]") {
    const Study found = study(0.5, true);
    check_near_limit("runout", found.runout_front, runout_limit_mm);
    check_stated("runout", found.runout_front);
}

TEST_CASE("with five times the rows the noise falls by their root", "[outside][limits]") {
    const Study found = study(0.1, true);
    const double fewer = 1.0 / std::sqrt(5.0);
    check_near_limit("phase", found.phase_deg, fewer * phase_limit_deg);
    check_near_limit("taper", found.taper_base, fewer * taper_limit_mm);
    check_near_limit("runout", found.runout_front, fewer * runout_limit_mm);
    check_stated("phase", found.phase_deg);
    check_stated("taper", found.taper_base);
    check_stated("runout", found.runout_front);
}
