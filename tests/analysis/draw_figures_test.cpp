// u95 by draws against closed forms, and against the budget where both must agree and where they can't.
#include "analysis/draws/draw_figures.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <Eigen/Dense>
#include <catch2/catch.hpp>

#include "analysis/compare.hpp"
#include "analysis/errors.hpp"
#include "drawn_lobe.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

constexpr double taper_scale = 12.0 / 8.0;  // of made_run: width over the indicators' distance

struct Checked {
    CamFigures stated;
    DrawnCam drawn;

    [[nodiscard]] const DrawnFigure& figure(const char* key) const { return *drawn.lobes.at(0).find(key); }
};

Checked checked(const Run& run, std::size_t draws) {
    Checked out{inspect_run(run), {}};
    out.drawn = draw_figures(nullptr, run, out.stated, {.draws = draws});
    return out;
}

Checked checked(const Run& reference, const Run& used, std::size_t draws) {
    Checked out{compare_runs(reference, used), {}};
    out.drawn = draw_figures(&reference, used, out.stated, {.draws = draws});
    return out;
}

/// Standard deviation of c0 in c0 + a cos + b sin fitted to rows of unit noise, `step_deg` apart on an arc.
double level_sd(double from_deg, double to_deg, double step_deg) {
    Eigen::Matrix3d normal = Eigen::Matrix3d::Zero();
    for (double deg = from_deg; deg <= to_deg + 1e-9; deg += step_deg) {
        const Eigen::Vector3d x(1.0, std::cos(deg * degree), std::sin(deg * degree));
        normal += x * x.transpose();
    }
    return std::sqrt(normal.inverse()(0, 0));
}

}  // namespace

TEST_CASE("white noise alone: the base circle's taper scatters as least squares on the heel says",
          "[draws]") {
    const auto c = checked(drawn_lobe_run({.step_deg = 0.5, .noise_mm = 0.002}), 200);
    const auto& heel = c.stated.lobes[0].base_circle;
    // Front and rear are independent; a level's own u is sigma/sqrt(N) for a whole turn and more on an arc.
    // A tenth of the noise is taken for the rig's slow wander, of each indicator its own: half of its variance is level.
    const double noise = std::sqrt(2.0) * 0.002 * level_sd(heel.from_deg, heel.to_deg, 0.5);
    const double u = taper_scale * std::hypot(noise, 2.0 * 0.0002 * std::sqrt(0.5));
    CHECK(c.figure("taper.base").draws == 200);
    CHECK(c.figure("taper.base").sd == Approx(u).epsilon(0.15));  // 200 draws know it to 5 %
    CHECK(c.figure("taper.base").agrees());
    CHECK(c.figure("taper.opening").agrees());
    CHECK(c.figure("taper.nose").agrees());
}

TEST_CASE("a datum's u stands in every taper and in nothing else; an indicator's error in all but the level",
          "[draws]") {
    Run run = drawn_lobe_run({.step_deg = 1.0});
    run.datum->u_mm = 0.003;
    run.rig.error_limit_mm = 0.002;
    const auto c = checked(run, 200);
    const double datum = taper_scale * 0.003;
    CHECK(c.figure("taper.base").sd == Approx(datum).epsilon(0.15));
    CHECK(c.figure("taper.base").symmetric.half_width() == Approx(1.96 * datum).epsilon(0.2));
    // Nose against heel, far apart in reading: two errors of limit/sqrt(3) an indicator, two indicators' mean.
    const double indicator = 0.002 / std::sqrt(3.0);
    CHECK(c.figure("lift.used").sd == Approx(indicator).epsilon(0.15));
    CHECK(c.figure("taper.nose").sd ==
          Approx(std::hypot(datum, taper_scale * 2.0 * indicator)).epsilon(0.15));
    for (const char* key : {"taper.base", "taper.opening", "taper.nose", "taper.closing", "lift.used"}) {
        INFO(key);
        CHECK(c.figure(key).agrees());
    }
}

TEST_CASE("passes that stood apart: the mean's level scatters by what they did, over their root", "[draws]") {
    Run run = drawn_lobe_run({.step_deg = 1.0});
    Sweep second = run.sweeps[0];
    second.pass = 2;
    for (double& mm : second.rear_mm) mm += 0.02;
    run.sweeps.push_back(second);
    // Two levels 0.02 apart: their standard deviation is 0.02/sqrt(2), that of their mean 0.01.
    CHECK(checked(run, 200).figure("taper.base").sd == Approx(taper_scale * 0.01).epsilon(0.15));
}

TEST_CASE("temperature alone is rectangular: 95 % is 1.65 u, where the budget has 1.96", "[draws]") {
    Run reference = drawn_lobe_run({.step_deg = 1.0}), used = reference;
    used.rig.temperature_c = 70.0;
    const auto c = checked(reference, used, 120);
    const double most = 11e-6 * 50.0 * drawn_lift_mm;  // steel or iron, as the budget takes it
    const auto& loss = c.figure("lift.loss");
    CHECK(loss.sd == Approx(most / std::sqrt(3.0)).epsilon(0.1));
    // An end of 120 rectangular draws is known to 0.05 u, half the distance of two to 2 %.
    CHECK(loss.symmetric.half_width() == Approx(0.95 * most).epsilon(0.06));
    CHECK(loss.symmetric.half_width() / loss.sd == Approx(1.65).margin(0.15));  // JCGM 100 G.1.3, from memory
    CHECK(c.stated.lobes[0].lift.loss_mm.u95 / loss.sd == Approx(1.96).margin(0.2));
}

TEST_CASE("a greatest wear near zero isn't linear, and the draws say so", "[draws]") {
    const Making making{.step_deg = 1.0, .noise_mm = 5e-4, .seed = 4};
    Run reference = drawn_lobe_run(making),
        used = drawn_lobe_run({.step_deg = 1.0, .noise_mm = 5e-4, .seed = 5});
    reference.rig.error_limit_mm = used.rig.error_limit_mm = 0.002;
    const auto c = checked(reference, used, 120);
    const auto& deepest = c.figure("wear.max_depth");
    // The budget's interval reaches as far below zero as above it; that of the draws, but for what the heel's form adds,
    // doesn't.
    CHECK(deepest.symmetric.low > -1e-4);
    CHECK(c.stated.lobes[0].wear.max_depth_mm.value - c.stated.lobes[0].wear.max_depth_mm.u95 < -0.001);
    CHECK_FALSE(deepest.agrees());
    CHECK(c.figure("wear.nose_depth").agrees());  // the mean of the same wear is linear
    CHECK(c.figure("lift.loss").agrees());
}

TEST_CASE("a seed gives the same draws on one thread and on three, another seed others", "[draws]") {
    Run run = drawn_lobe_run({.step_deg = 2.0, .noise_mm = 0.001});
    run.rig.error_limit_mm = 0.002;
    const auto stated = inspect_run(run);
    const auto sd = [&](std::uint64_t seed, unsigned threads) {
        DrawOptions options{.draws = 100, .seed = seed};
        options.analysis.threads = threads;
        return draw_figures(nullptr, run, stated, options).lobes[0].find("lift.used")->sd;
    };
    const double one = sd(9, 1);
    CHECK(one > 0.0);
    CHECK(sd(9, 3) == one);
    CHECK(sd(10, 1) != one);
}

TEST_CASE("every draw is told of, and too few or too many are refused", "[draws]") {
    const Run run = drawn_lobe_run({.step_deg = 5.0, .noise_mm = 0.001});
    const auto stated = inspect_run(run);
    std::vector<std::size_t> told;
    DrawOptions options{.draws = 100, .done = [&](std::size_t done) { told.push_back(done); }};
    options.analysis.threads = 1;
    draw_figures(nullptr, run, stated, options);
    CHECK(told.size() == 100);
    CHECK(told.back() == 100);
    CHECK_THROWS_AS(draw_figures(nullptr, run, stated, {.draws = 99}), UsageError);
    CHECK_THROWS_AS(draw_figures(nullptr, run, stated, {.draws = 100001}), UsageError);
}

TEST_CASE("a figure that can't be known has no draws", "[draws]") {
    Run run = drawn_lobe_run({.step_deg = 5.0, .noise_mm = 0.001});
    run.datum.reset();
    const auto c = checked(run, 100);
    CHECK(c.figure("wear.flat_arc_deg").draws == 0);
    CHECK(c.figure("lift.loss").draws == 0);
    CHECK(c.figure("taper.opening").draws == 100);
    CHECK(c.drawn.lobes[0].find("taper.sideways") == nullptr);
}
