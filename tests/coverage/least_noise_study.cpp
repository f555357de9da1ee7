#include "tests/coverage/least_noise_study.hpp"

#include <cmath>
#include <cstdint>

#include "analysis/compare.hpp"
#include "tests/analysis/made_run.hpp"

namespace lobewright {
namespace {

constexpr double eccentricity_mm = 0.010;

double lift_mm(double angle_rad) {
    const double x = 1.0 - std::fabs(tests::from_nose_deg(angle_rad, 180.0)) / 60.0;
    if (x <= 0.0) return 0.0;
    return 6.0 * x * x * x * x * (35.0 + x * (-84.0 + x * (70.0 - 20.0 * x)));
}

LobeFigures figures_of(double step_deg, bool across, int number) {
    const auto reading = [&](double rad, double) {
        return lift_mm(rad) + eccentricity_mm * (across ? std::sin(rad) : std::cos(rad));
    };
    const auto seed = 2 * static_cast<std::uint64_t>(number);
    const auto run = [&](std::uint64_t one) {
        return tests::made_run(reading,
                               {.step_deg = step_deg, .noise_mm = least_noise_sigma_mm, .seed = one});
    };
    return compare_runs(run(seed + 1), run(seed + 2)).lobes.at(0);
}

/// Least squares reaches these limits (Gauss-Markov; Cramer-Rao for Gaussian noise: S. M. Kay, Fundamentals of Statistical
/// Signal Processing: Estimation Theory, from memory); derived, phase and nose checked by Monte Carlo elsewhere. The
/// heel has 240 degrees. At mid-width two indicators have sqrt2 less noise than one; at an edge, with tips 8 mm apart
/// on 12 mm, hypot(1.25, 0.25) of it. All for a row every half degree; the noise falls with the root of more.
std::vector<LeastNoise> figures_and_limits() {
    const double root2 = std::sqrt(2.0), sigma = least_noise_sigma_mm;
    // A local quadratic at the nose through 21 points, and the base circle continued to there.
    const double nose = sigma * std::hypot(0.327950, 0.142602);
    return {
        // Two noisy curves registered, 7.146428e-4 deg, on 20 to 80 % of the lift, times 1.172797113; two edges.
        {"phase_shift_deg", {}, 7.146428e-4 * 1.172797113 / root2},
        {"lift.used", {}, nose / root2},
        {"lift.loss", {}, nose},
        {"wear.nose_depth", {}, nose},
        // A sinusoid fitted on 240 degrees, N = 481: N var(a) = 4.406970, N var(b) = 1.656517, N var(c0) = 1.746586.
        {"base_circle.eccentricity", {}, sigma * std::sqrt(4.406970 / 481.0) / root2},
        {"base_circle.runout.front", {}, sigma * 2.0 * std::hypot(1.25, 0.25) * std::sqrt(1.656517 / 481.0)},
        // Rear less front, scaled to the width: (12/8) sqrt2.
        {"taper.base", {}, sigma * 2.121320 * std::sqrt(1.746586 / 481.0)},
    };
}

}  // namespace

void Spread::add(const Measured& found, double truth) {
    const double error = found.value - truth;
    ++count;
    squares += error * error;
    stated_squares += found.u95 * found.u95 / (1.96 * 1.96);
}

double Spread::rms() const {
    return std::sqrt(squares / count);
}

double Spread::stated() const {
    return std::sqrt(stated_squares / count);
}

std::vector<LeastNoise> least_noise_study(double step_deg, int runs) {
    auto out = figures_and_limits();
    for (LeastNoise& one : out) one.limit *= std::sqrt(step_deg / 0.5);
    for (int i = 0; i < runs; ++i) {
        const LobeFigures along = figures_of(step_deg, false, i), across = figures_of(step_deg, true, i);
        const Measured found[] = {along.phase_shift_deg,
                                  along.lift.used_mm,
                                  along.lift.loss_mm,
                                  along.wear.nose_depth_mm,
                                  along.base_circle.eccentricity_mm,
                                  across.base_circle.runout_mm.front,
                                  along.taper.base_mm};
        const double truth[] = {0.0, 6.0, 0.0, 0.0, eccentricity_mm, 2.0 * eccentricity_mm, 0.0};
        for (std::size_t f = 0; f < out.size(); ++f) out[f].spread.add(found[f], truth[f]);
    }
    return out;
}

}  // namespace lobewright
