// Variance components where the truth is known: exact expectations, made scatter, and data that can't tell.
#include <algorithm>
#include <cmath>
#include <limits>

#include <catch2/catch.hpp>

#include "analysis/repeat/nested_anova.hpp"
#include "rig/model/random.hpp"

using namespace lobewright;

namespace {

/// Passes by lobe, then run; runs 0 and 1 are of operator 0, and so on: as unequal as a shop's.
struct Design {
    std::vector<std::size_t> operators;                 // by run
    std::vector<std::vector<std::size_t>> lobe_passes;  // by lobe, then run
};

const Design unequal{{0, 0, 0, 1, 2, 2}, {{2, 1, 3, 2, 2, 1}, {1, 1, 4, 2, 1, 2}}};

struct Truth {
    double pass = 1.0;
    double set_up = 2.0;
    double by_operator = 3.0;  // standard deviations
    bool common = false;       // a set-up hits all lobes alike, and so does an operator
};

std::vector<LobeRun> made(const Design& design, const Truth& truth, Random& random) {
    const std::size_t runs = design.operators.size();
    const std::size_t lobes = design.lobe_passes.size();
    std::vector<double> run_effects(runs * lobes), operator_effects(runs * lobes);
    for (double& x : run_effects) x = truth.set_up * random.normal();
    for (double& x : operator_effects) x = truth.by_operator * random.normal();
    std::vector<LobeRun> data;
    for (std::size_t lobe = 0; lobe < lobes; ++lobe) {
        for (std::size_t run = 0; run < runs; ++run) {
            const std::size_t who = design.operators[run], row = truth.common ? 0 : lobe * runs;
            LobeRun one{lobe, run, who, {}};
            for (std::size_t p = 0; p < design.lobe_passes[lobe][run]; ++p) {
                one.values.push_back(7.0 * static_cast<double>(lobe) + run_effects[row + run] +
                                     operator_effects[row + who] + truth.pass * random.normal());
            }
            data.push_back(one);
        }
    }
    return data;
}

/// The same data with all random effects of one kind taken out but one, which is 1: the sum over all of them of a
/// sum of squares is its expectation per unit of that variance (Hartley's synthesis, Biometrics 23, 1967, from
/// memory).
template <class Pick>
std::vector<LobeRun> indicator_of(const Design& design, std::size_t lobe, const Pick& pick) {
    std::vector<LobeRun> data;
    for (std::size_t l = 0; l < design.lobe_passes.size(); ++l) {
        for (std::size_t run = 0; run < design.operators.size(); ++run) {
            const bool hit = l == lobe && pick(run);
            data.push_back({l, run, design.operators[run],
                            std::vector<double>(design.lobe_passes[l][run], hit ? 1.0 : 0.0)});
        }
    }
    return data;
}

}  // namespace

TEST_CASE("components are unbiased in unequal designs, exactly", "[repeat]") {
    // Estimates are quadratic, so their expectation is the sum of what each single effect alone gives. A negative
    // one is set to zero, so the mean squares are held instead: those of set-ups must count k1, those of operators
    // k2, k3.
    double runs_by_set_up = 0.0, operators_by_set_up = 0.0, operators_by_operator = 0.0, passes_by_any = 0.0;
    for (std::size_t lobe = 0; lobe < unequal.lobe_passes.size(); ++lobe) {
        for (std::size_t run = 0; run < unequal.operators.size(); ++run) {
            const auto found =
                nested_variances(indicator_of(unequal, lobe, [&](std::size_t r) { return r == run; }));
            runs_by_set_up += found.runs.value;
            operators_by_set_up += found.operators.value;
            passes_by_any += found.passes.value;
        }
        for (std::size_t who = 0; who < 3; ++who) {
            const auto found = nested_variances(
                indicator_of(unequal, lobe, [&](std::size_t r) { return unequal.operators[r] == who; }));
            operators_by_operator += found.operators.value;
            CHECK(found.runs.value == Approx(0.0).margin(1e-15));
        }
    }
    CHECK(passes_by_any == Approx(0.0).margin(1e-15));
    Random random(11);
    const auto found = nested_variances(made(unequal, {1.0, 5.0, 60.0}, random));
    REQUIRE_FALSE(found.set_up.negative);
    REQUIRE_FALSE(found.by_operator.negative);
    const double set_up = (found.runs.value - found.passes.value) / runs_by_set_up;
    CHECK(found.set_up.value == Approx(set_up).epsilon(1e-12));
    CHECK(found.by_operator.value ==
          Approx((found.operators.value - found.passes.value - operators_by_set_up * set_up) /
                 operators_by_operator)
              .epsilon(1e-12));
    CHECK(found.reproducibility.value ==
          Approx(found.pass.value + found.set_up.value + found.by_operator.value).epsilon(1e-12));
}

TEST_CASE("made scatter comes back, and its limits hold", "[repeat]") {
    const bool common = GENERATE(false, true);
    CAPTURE(common);
    const Design design{{0, 0, 0, 1, 1, 1, 2, 2, 3, 3, 4, 4},
                        {{2, 2, 1, 2, 2, 3, 2, 2, 2, 1, 2, 2}, {2, 2, 1, 2, 2, 3, 2, 2, 2, 2, 2, 1}}};
    const Truth truth{1.0, 2.0, 3.0, common};
    constexpr int studies = 1000;
    double pass = 0.0, set_up = 0.0, by_operator = 0.0;
    int pass_holds = 0, set_up_holds = 0, operator_holds = 0;
    for (int i = 0; i < studies; ++i) {
        Random random(2, static_cast<std::uint64_t>(i));
        const auto found = nested_variances(made(design, truth, random));
        pass += found.pass.value / studies;
        set_up += found.set_up.value / studies;
        by_operator += found.by_operator.value / studies;
        pass_holds += found.pass.low < 1.0 && 1.0 < found.pass.high;
        set_up_holds += found.set_up.low < 4.0 && 4.0 < found.set_up.high;
        operator_holds += found.by_operator.low < 9.0 && 9.0 < found.by_operator.high;
    }
    // Mean of so many chi-squares: 3.3 standard errors, sqrt(2 / (degrees x studies)), of the lower stages' scatter
    // too.
    CHECK(pass == Approx(1.0).epsilon(3.3 * std::sqrt(2.0 / (21 * studies))));
    CHECK(set_up == Approx(4.0).epsilon(3.3 * 1.2 * std::sqrt(2.0 / (7 * studies))));
    CHECK(by_operator == Approx(9.0).epsilon(3.3 * 1.4 * std::sqrt(2.0 / (4 * studies))));
    // 95 in 100 by chi-square: 3.3 binomial standard errors are 2.3. Set-ups' and operators' limits may be wide,
    // not narrow.
    CHECK(pass_holds == Approx(0.95 * studies).margin(23));
    CHECK(set_up_holds > 927);
    CHECK(operator_holds > 927);
}

TEST_CASE("lobes that a set-up hits alike tell no more than one lobe", "[repeat]") {
    // Twelve lobes, eight set-ups of one operator, no scatter from pass to pass to speak of.
    Design design{std::vector<std::size_t>(8, 0), {}};
    design.lobe_passes.assign(12, std::vector<std::size_t>(8, 2));
    Random random(5);
    const auto alike = nested_variances(made(design, {1e-6, 1.0, 0.0, true}, random));
    CHECK(alike.runs.degrees_of_freedom == Approx(7.0).epsilon(1e-6));
    const auto apart = nested_variances(made(design, {1e-6, 1.0, 0.0, false}, random));
    CHECK(apart.runs.degrees_of_freedom > 14.0);
    CHECK(apart.runs.degrees_of_freedom <= 84.0);
    CHECK(alike.passes.degrees_of_freedom == 96.0);
}

TEST_CASE("components don't hang on the order, the lobes' sizes or the unit", "[repeat]") {
    Random random(3);
    const auto data = made(unequal, {}, random);
    const auto found = nested_variances(data);
    auto turned = data;
    std::reverse(turned.begin(), turned.end());
    for (LobeRun& one : turned) {
        one.run = 5 - one.run;
        one.operator_index = 2 - one.operator_index;
        std::reverse(one.values.begin(), one.values.end());
        for (double& v : one.values) v = 25.4 * (v + 100.0 * static_cast<double>(one.lobe));
    }
    const auto same = nested_variances(turned);
    const double per = 25.4 * 25.4;
    for (const auto member : {&NestedVariances::pass, &NestedVariances::set_up, &NestedVariances::by_operator,
                              &NestedVariances::reproducibility}) {
        CHECK((same.*member).value == Approx(per * (found.*member).value).epsilon(1e-9));
        CHECK((same.*member).low == Approx(per * (found.*member).low).epsilon(1e-9).margin(1e-9));
        CHECK((same.*member).high == Approx(per * (found.*member).high).epsilon(1e-9));
        CHECK((same.*member).degrees_of_freedom == Approx((found.*member).degrees_of_freedom).epsilon(1e-9));
    }
}

TEST_CASE("what the data can't tell is unknown, not zero", "[repeat]") {
    const auto single = nested_variances({{0, 0, 0, {1.0}}});
    CHECK_FALSE(single.pass.known());
    CHECK_FALSE(single.set_up.known());
    CHECK_FALSE(single.reproducibility.known());

    const auto one_run = nested_variances({{0, 0, 0, {1.0, 2.0}}, {1, 0, 0, {5.0}}});
    CHECK(one_run.pass.value == Approx(0.5));
    CHECK(one_run.pass.degrees_of_freedom == 1.0);
    CHECK_FALSE(one_run.set_up.known());
    CHECK_FALSE(one_run.passes_in_set_up);

    const auto no_passes = nested_variances({{0, 0, 0, {1.0}}, {0, 1, 0, {2.0}}, {0, 2, 0, {3.0}}});
    CHECK_FALSE(no_passes.pass.known());
    CHECK(no_passes.passes_in_set_up);
    CHECK(no_passes.set_up.value == Approx(1.0));
    CHECK(no_passes.reproducibility.value == Approx(1.0));

    const auto confounded = nested_variances({{0, 0, 0, {1.0, 1.1}}, {0, 1, 1, {2.0, 2.1}}});
    CHECK(confounded.operators_in_set_up);
    CHECK(confounded.set_up.known());
    CHECK_FALSE(confounded.by_operator.known());
}

TEST_CASE("a component below zero is set to zero and says so", "[repeat]") {
    const auto found = nested_variances({{0, 0, 0, {1.0, 3.0}}, {0, 1, 0, {1.1, 3.1}}});
    CHECK(found.set_up.negative);
    CHECK(found.set_up.value == 0.0);
    CHECK(found.set_up.low == 0.0);
    CHECK(found.set_up.high > 0.0);
    CHECK(found.reproducibility.value == Approx(found.pass.value));
    CHECK_FALSE(found.pass.negative);
}

TEST_CASE("readings that repeat to the last digit are zero scatter, not a failure", "[repeat]") {
    const auto found = nested_variances({{0, 0, 0, {1.0, 1.0}}, {0, 1, 0, {1.0, 1.0}}});
    CHECK(found.pass.value == 0.0);
    CHECK(found.set_up.value == 0.0);
    CHECK(found.set_up.high == 0.0);
    CHECK_FALSE(found.set_up.negative);
    CHECK(found.reproducibility.value == 0.0);
    CHECK(std::isfinite(found.reproducibility.degrees_of_freedom));
}
