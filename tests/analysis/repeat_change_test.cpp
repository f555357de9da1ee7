// The smallest change that can be proved, against sums worked by hand.
#include <cmath>

#include <catch2/catch.hpp>

#include "analysis/constants.hpp"
#include "analysis/repeat/provable_change.hpp"
#include "rig/model/random.hpp"

using namespace lobewright;

namespace {

/// Scatter of so many standard deviations, known from so many degrees of freedom.
NestedVariances scatter(double pass, double set_up, double by_operator, double degrees) {
    NestedVariances out;
    out.pass = variance_of({pass * pass, degrees});
    out.set_up = variance_of({set_up * set_up, degrees});
    out.by_operator = variance_of({by_operator * by_operator, degrees});
    return out;
}

constexpr double many = 1e9;  // degrees of freedom

}  // namespace

TEST_CASE("U of a change is both states' scatter over passes and set-ups, and what no repetition shows",
          "[repeat]") {
    Unrepeated unrepeated;
    unrepeated.indicator_mm = 0.0012;
    unrepeated.step_mm = 0.0001;
    unrepeated.smoothing_mm = 0.0002;
    unrepeated.table_mm = 0.0003;
    unrepeated.datum_mm = 0.0004;
    const auto found = provable_change(scatter(0.0006, 0.0008, 0.0005, many), unrepeated, {3, 2});
    const double state =
        0.36e-6 / 6 + 0.64e-6 / 2 + 0.25e-6 + 1.44e-6 + 0.01e-6 + 0.04e-6 + 0.09e-6 + 0.16e-6;
    CHECK(found.u95_mm == Approx(normal_95 * std::sqrt(2.0 * state)).epsilon(1e-6));
    CHECK(found.largest() == ChangeSource::indicator);
    CHECK(found.share(ChangeSource::indicator) == Approx(1.44e-6 / state));
    double all = 0.0;
    for (const double share : found.shares) all += share;
    CHECK(all == Approx(1.0));
}

TEST_CASE("few degrees of freedom widen U by Student's factor", "[repeat]") {
    const auto found = provable_change(scatter(0.0, 0.001, 0.0, 2.0), {}, {1, 1});
    // t of 2 degrees of freedom is 4.303 (JCGM 100 table G.2).
    CHECK(found.u95_mm == Approx(4.302652730 * 0.001 * std::sqrt(2.0)).epsilon(1e-8));
    CHECK(found.high_mm > found.u95_mm);
    CHECK(found.largest() == ChangeSource::set_up);
}

TEST_CASE("a datum taken anew in each set-up isn't counted twice", "[repeat]") {
    Unrepeated once, anew;
    once.datum_mm = anew.datum_mm = 0.001;
    anew.datum_anew = true;
    const auto u = [](double set_up, const Unrepeated& unrepeated, const Plan& plan) {
        return provable_change(scatter(0.0, set_up, 0.0, many), unrepeated, plan).u95_mm / normal_95 /
               std::sqrt(2.0);
    };
    CHECK(u(0.002, once, {1, 1}) == Approx(std::hypot(0.002, 0.001)).epsilon(1e-6));
    CHECK(u(0.002, anew, {1, 1}) == Approx(0.002).epsilon(1e-6));
    CHECK(u(0.0005, anew, {1, 1}) == Approx(0.001).epsilon(1e-6));  // never below its stated u
    CHECK(u(0.0, anew, {1, 4}) == Approx(0.0005).epsilon(1e-6));
    CHECK(u(0.0, once, {1, 4}) == Approx(0.001).epsilon(1e-6));
}

TEST_CASE("what isn't known adds nothing, and no scatter at all proves any change", "[repeat]") {
    const auto found = provable_change({}, {}, {1, 1});
    CHECK(found.u95_mm == 0.0);
    CHECK(found.high_mm == 0.0);
    CHECK(found.share(ChangeSource::passes) == 0.0);
}

TEST_CASE("passes needed are the fewest set-ups, then the fewest passes, that reach the wanted U",
          "[repeat]") {
    const auto bench = scatter(0.002, 0.001, 0.0, many);
    Unrepeated unrepeated;
    unrepeated.indicator_mm = 0.0005;
    const double unit = normal_95 * std::sqrt(2.0);
    // One set-up: 4/n + 1 + 0.25 um^2; n = 5 gives 2.05, n = 4 gives 2.25.
    const auto one = passes_needed(bench, unrepeated, unit * 0.001 * std::sqrt(2.1));
    REQUIRE(one.plan);
    CHECK(one.plan->set_ups == 1);
    CHECK(one.plan->passes == 5);
    // Below 1.25 um^2 one set-up never does; two: 4/(2n) + 0.5 + 0.25 = 1.15 with n = 5, 1.25 with 4.
    const auto two = passes_needed(bench, unrepeated, unit * 0.001 * std::sqrt(1.2));
    REQUIRE(two.plan);
    CHECK(two.plan->set_ups == 2);
    CHECK(two.plan->passes == 5);
    CHECK(two.reached.u95_mm <= two.want_mm);
    // The indicator alone is 0.25 um^2.
    const auto never = passes_needed(bench, unrepeated, unit * 0.0005);
    CHECK_FALSE(never.plan);
    CHECK(never.reached.plan.passes == 12);
    CHECK(never.reached.plan.set_ups == 6);
    CHECK(never.reached.largest() == ChangeSource::indicator);
}

TEST_CASE("more passes and set-ups never make U larger", "[repeat]") {
    const auto bench = scatter(0.002, 0.001, 0.0004, 6.0);
    Unrepeated unrepeated;
    unrepeated.indicator_mm = 0.0011;
    unrepeated.datum_mm = 0.0004;
    unrepeated.datum_anew = GENERATE(false, true);
    for (int set_ups = 1; set_ups < 6; ++set_ups) {
        for (int passes = 1; passes < 12; ++passes) {
            const double here = provable_change(bench, unrepeated, {passes, set_ups}).u95_mm;
            CHECK(provable_change(bench, unrepeated, {passes + 1, set_ups}).high_mm <=
                  provable_change(bench, unrepeated, {passes, set_ups}).high_mm);
            CHECK(provable_change(bench, unrepeated, {passes, set_ups + 1}).u95_mm <= here);
        }
    }
}

TEST_CASE("a bench's noise passes for a proved change once in twenty", "[repeat]") {
    // Studies of one lobe in twelve set-ups of three passes, each followed by two states of an unchanged lobe
    // measured in one set-up of three passes. All that moves is scatter, as known as the study made it.
    constexpr double pass = 0.001, set_up = 0.0015;
    constexpr int studies = 4000;
    int within = 0;
    for (int i = 0; i < studies; ++i) {
        Random random(6, static_cast<std::uint64_t>(i));
        const auto state = [&](std::vector<double>* passes) {
            const double seat = set_up * random.normal();
            double mean = 0.0;
            for (int p = 0; p < 3; ++p) {
                const double value = seat + pass * random.normal();
                mean += value / 3.0;
                if (passes != nullptr) passes->push_back(value);
            }
            return mean;
        };
        std::vector<LobeRun> data(12);
        for (std::size_t r = 0; r < data.size(); ++r) {
            data[r].run = r;
            state(&data[r].values);
        }
        const double u95 = provable_change(nested_variances(data), {}, {3, 1}).u95_mm;
        const double before = state(nullptr), after = state(nullptr);
        within += std::abs(after - before) <= u95;
    }
    // 3.3 binomial standard errors of 95 in 100 are 1.1 in 100.
    CHECK(within == Approx(0.95 * studies).margin(0.011 * studies));
}

TEST_CASE("without two passes anywhere only set-ups can be added", "[repeat]") {
    auto bench = scatter(0.0, 0.002, 0.0, many);
    bench.pass = {};
    bench.passes_in_set_up = true;
    const auto found = passes_needed(bench, {}, normal_95 * std::sqrt(2.0) * 0.00116);
    REQUIRE(found.plan);
    CHECK(found.plan->passes == 1);
    CHECK(found.plan->set_ups == 3);  // 4/3 = 1.155^2 um^2
}
