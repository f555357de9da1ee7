// Variance components against published analyses of variance.
#include "analysis/repeat/nested_anova.hpp"

#include <cmath>

#include <catch2/catch.hpp>

using namespace lobewright;

TEST_CASE("calcium in turnip greens: plants, leaves, determinations", "[outside][repeat]") {
    // Snedecor and Cochran, Statistical Methods, 1967, p. 286: data, mean squares and components. Plants stand for
    // operators, leaves for set-ups, determinations for passes; balanced.
    std::vector<LobeRun> data;
    const std::vector<std::vector<std::vector<double>>> plants{{{3.28, 3.09}, {3.52, 3.48}, {2.88, 2.80}},
                                                               {{2.46, 2.44}, {1.87, 1.92}, {2.19, 2.19}},
                                                               {{2.77, 2.66}, {3.74, 3.44}, {2.55, 2.55}},
                                                               {{3.78, 3.87}, {4.07, 4.12}, {3.31, 3.31}}};
    for (std::size_t plant = 0; plant < plants.size(); ++plant) {
        for (const auto& leaf : plants[plant]) data.push_back({0, data.size(), plant, leaf});
    }
    const NestedVariances found = nested_variances(data);
    CHECK(found.operators.value == Approx(2.520115).epsilon(1e-6));
    CHECK(found.operators.degrees_of_freedom == 3.0);
    CHECK(found.runs.value == Approx(0.328775).epsilon(1e-6));
    CHECK(found.runs.degrees_of_freedom == 8.0);
    CHECK(found.passes.value == Approx(0.079850 / 12).epsilon(1e-6));
    CHECK(found.passes.degrees_of_freedom == 12.0);
    CHECK(found.by_operator.value == Approx(0.365223).epsilon(2e-6));
    CHECK(found.set_up.value == Approx(0.161060).epsilon(3e-6));
    CHECK(found.pass.value == Approx(0.006654).margin(5e-7));
    CHECK(found.reproducibility.value == Approx(0.532938).epsilon(2e-6));  // there: "total"
    CHECK_FALSE(found.operators_in_set_up);
}

TEST_CASE("conceptions from samples of six bulls: unequal numbers", "[outside][repeat]") {
    // Snedecor and Cochran, Statistical Methods, 1967, sec. 10.18, from memory: between bulls 5 degrees of freedom,
    // mean square 664; within 29, 248; n0 = 5.67, component of bulls 73.
    const std::vector<std::vector<double>> bulls{
        {46, 31, 37, 62, 30},         {70, 59},
        {52, 44, 57, 40, 67, 64, 70}, {47, 21, 70, 46, 14},
        {42, 64, 50, 69, 77, 81, 87}, {35, 68, 59, 38, 57, 76, 57, 29, 60}};
    std::vector<LobeRun> data;
    data.reserve(bulls.size());
    for (const auto& bull : bulls) data.push_back({0, data.size(), 0, bull});
    const NestedVariances found = nested_variances(data);
    CHECK(found.runs.degrees_of_freedom == 5.0);
    CHECK(std::round(found.runs.value) == 664.0);
    CHECK(found.passes.degrees_of_freedom == 29.0);
    CHECK(std::round(found.passes.value) == 248.0);
    CHECK((found.runs.value - found.passes.value) / found.set_up.value == Approx(5.67).margin(0.005));
    CHECK(std::round(found.set_up.value) == 73.0);
}

TEST_CASE("limits of a variance by chi-square", "[outside][repeat]") {
    // Chi-square of 8 degrees of freedom: 2.180 and 17.535 (any table of the distribution, from memory).
    const Variance found = variance_of({2.5, 8.0});
    CHECK(found.value == 2.5);
    CHECK(found.low == Approx(2.5 * 8 / 17.535).epsilon(1e-4));
    CHECK(found.high == Approx(2.5 * 8 / 2.180).epsilon(2e-4));
    // r = 2.77 s_r, which ISO 5725-6 rounds to 2.8 (from memory).
    CHECK(limit_of_two(variance_of({4.0, 8.0})) == Approx(2.0 * 2.77).epsilon(1e-3));
}
