// Wear against hours: rates, intervals, and when a limit is reached.
#include "analysis/history/history.hpp"

#include <cmath>

#include <catch2/catch.hpp>

#include "analysis/constants.hpp"
#include "analysis/errors.hpp"
#include "rig/model/random.hpp"
#include "tests/analysis/card_cams.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

Run run_at(double hours, double wiped_mm, const std::string& id) {
    CamModel cam = launch_cam(1);
    cam.lobes[0].wear = {wiped_wear(wiped_mm)};
    RunPlan plan;
    plan.info.id = id;
    plan.info.taken = "2026-02-03T10:15:00Z";
    plan.info.condition = hours > 0.0 ? Condition::used : Condition::as_new;
    if (hours > 0.0) plan.info.hours = hours;
    return simulate_run(cam, zeroed_rig(), {}, {}, plan, 7 + static_cast<std::uint64_t>(hours));
}

}  // namespace

TEST_CASE("a straight line through three points, by textbook arithmetic", "[outside][history]") {
    // y = 1, 3, 4 at x = 0, 1, 2 with equal weights: slope 1.5, intercept 7/6, Var(slope) = sigma^2/2 (any textbook of
    // regression; by hand).
    const double u95 = 2.0 * normal_95;  // sigma 2
    const RateFit fit = fit_line({{0, {1, u95}}, {1, {3, u95}}, {2, {4, u95}}});
    CHECK(fit.per_hour.value == Approx(1.5));
    CHECK(fit.per_hour.u95 == Approx(normal_95 * 2.0 / std::sqrt(2.0)));
    CHECK(fit.at_last.value == Approx(7.0 / 6.0 + 3.0));
    CHECK(fit.one_rate);
}

TEST_CASE("points off the line widen the rate by the Birge ratio", "[outside][history]") {
    // The same points with sigma 0.1: residuals -1/6, 1/3, -1/6 make chi^2 = (1/6)/0.01 with one degree of freedom.
    const RateFit fit =
        fit_line({{0, {1, 0.1 * normal_95}}, {1, {3, 0.1 * normal_95}}, {2, {4, 0.1 * normal_95}}});
    CHECK_FALSE(fit.one_rate);
    CHECK(fit.per_hour.u95 == Approx(normal_95 * 0.1 / std::sqrt(2.0) * std::sqrt((1.0 / 6.0) / 0.01)));
}

TEST_CASE("changes share the first run's error", "[history]") {
    // One later run: rate and u95 are the change's over the hours.
    const RateFit one = fit_change(100.0, {{300.0, {0.02, 0.004}}});
    CHECK(one.per_hour.value == Approx(1e-4));
    CHECK(one.per_hour.u95 == Approx(2e-5));
    // Two later runs at nearly the same hours: their own halves average, the first run's doesn't: u^2 (1/2 + 1/4).
    const RateFit two = fit_change(100.0, {{300.0, {0.02, 0.004}}, {300.0001, {0.02, 0.004}}});
    CHECK(two.per_hour.u95 == Approx(2e-5 * std::sqrt(0.75)).epsilon(1e-4));
}

TEST_CASE("nine in ten and more of stated rates hold their truth", "[history]") {
    Random random(5, 0);
    int inside = 0;
    constexpr int histories = 2000;
    for (int i = 0; i < histories; ++i) {
        const double first = 0.001 * random.normal(), rate = 3e-5;
        std::vector<AtHours> points;
        for (const double hours : {200.0, 450.0, 800.0, 1000.0})
            points.push_back(
                {hours,
                 {rate * hours + 0.001 * random.normal() - first, normal_95 * 0.001 * std::sqrt(2.0)}});
        const RateFit fit = fit_change(0.0, points);
        inside += static_cast<int>(std::abs(fit.per_hour.value - rate) <= fit.per_hour.u95);
    }
    // 95 % but for the histories that scatter by chance and are widened.
    CHECK(inside >= histories * 94 / 100);
    CHECK(inside <= histories * 97 / 100);
}

TEST_CASE("when the limit is reached", "[history]") {
    RateFit fit = fit_change(0.0, {{1000.0, {0.05, 0.01}}});
    const auto at = when_reached(fit, 0.13);
    REQUIRE(at.has_value());
    CHECK(at->hours == Approx(2600.0));
    CHECK(at->earliest == Approx(1000.0 + 0.07 / 6e-5));  // 0.06 now and 6e-5 an hour
    CHECK(at->latest.value() == Approx(1000.0 + 0.09 / 4e-5));
    fit = fit_change(0.0, {{1000.0, {0.05, 0.06}}});
    CHECK_FALSE(when_reached(fit, 0.13).has_value());  // no wear is proved
    CHECK_FALSE(when_reached(RateFit{}, 0.13).has_value());
}

TEST_CASE("a cam that wears evenly with hours", "[history]") {
    const std::vector<Run> runs{run_at(900.0, 0.054, "c"), run_at(0.0, 0.0, "a"), run_at(400.0, 0.024, "b")};
    const History history = history_of(runs, {});
    CHECK(history.hours == std::vector<double>{0.0, 400.0, 900.0});
    const LobeHistory& worn = history.lobes[0];
    CHECK(worn.lift_loss.fit.per_hour.value == Approx(6e-5).margin(worn.lift_loss.fit.per_hour.u95));
    REQUIRE(worn.lift_loss.reached.has_value());
    CHECK(worn.lift_loss.reached->hours == Approx(0.13 / 6e-5).epsilon(0.02));
    CHECK_FALSE(worn.lift_loss.passed);
    const LobeHistory& sound = history.lobes[1];
    CHECK_FALSE((sound.lift_loss.reached && !sound.lift_loss.far));
    CHECK_FALSE(sound.ramp_taper.passed);
}

TEST_CASE("a lobe past its limit is said to be, whatever the line", "[history]") {
    const History history =
        history_of({run_at(0.0, 0.0, "a"), run_at(400.0, 0.001, "b"), run_at(600.0, 0.3, "c")}, {});
    CHECK(history.lobes[0].lift_loss.passed);
    CHECK_FALSE(history.lobes[0].lift_loss.fit.one_rate);
    CHECK(said(history.notes, "wear may have quickened"));
    CHECK_FALSE(history.lobes[1].lift_loss.passed);
}

TEST_CASE("wear of a run-in isn't taken for the rate of the hours after it", "[history]") {
    // First wear is faster than what follows: common practice, no source.
    Run before = run_at(0.0, 0.0, "a"), after = run_at(0.5, 0.002, "b");
    before.info.condition = Condition::before;
    after.info.condition = Condition::after;
    const History with = history_of({before, after}, {});
    CHECK(said(with.notes, "b ends a run-in: first wear is fast"));
    const History without = history_of({run_at(0.0, 0.0, "a"), run_at(400.0, 0.01, "c")}, {});
    CHECK_FALSE(said(without.notes, "run-in"));
}

TEST_CASE("hours must be there and differ", "[history]") {
    Run used = run_at(400.0, 0.02, "b");
    used.info.hours.reset();
    CHECK_THROWS_WITH(history_of({run_at(0.0, 0.0, "a"), used}, {}),
                      Catch::Contains("b: [run] hours isn't given"));
    CHECK_THROWS_WITH(history_of({run_at(400.0, 0.02, "b"), run_at(400.0, 0.03, "c")}, {}),
                      Catch::Contains("b and c were both taken at 400 hours"));
    CHECK_THROWS_AS(history_of({run_at(0.0, 0.0, "a")}, {}), DataError);
}
