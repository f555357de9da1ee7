// Shares of a figure's variance by source, and what is left without the largest.
#include <catch2/catch.hpp>

#include "analysis/uncertainty/terms.hpp"

using namespace lobewright;

TEST_CASE("without its largest source a 3-4-5 budget is three fifths", "[uncertainty]") {
    UncertaintyTerms terms;
    terms.indicator = 4.0;
    terms.datum = 3.0;
    const auto shares = budget_shares(terms);
    CHECK(shares[0].source == "indicator");
    CHECK(shares[0].share == Approx(0.64));
    CHECK(shares[1].source == "datum");
    CHECK(shares[1].share == Approx(0.36));
    // Two-sided normal factor 1.959963985: scipy.stats.
    CHECK(without_largest(terms) == Approx(3.0 * 1.959963985).epsilon(1e-9));
}

TEST_CASE("a lone source leaves nothing, no source leaves nothing", "[uncertainty]") {
    UncertaintyTerms terms;
    CHECK(without_largest(terms) == 0.0);
    terms.drift = 0.1;
    CHECK(without_largest(terms) == Approx(0.0).margin(1e-8));
}

TEST_CASE("shares over several figures count each figure alike, whatever its unit", "[uncertainty]") {
    UncertaintyTerms small;
    small.noise = 3e-6;
    small.step = 4e-6;
    UncertaintyTerms large;
    large.noise = 5.0;
    const auto shares = budget_shares(std::vector<UncertaintyTerms>{small, large});
    CHECK(shares[0].source == "noise");
    CHECK(shares[0].share == Approx(0.5 * (0.36 + 1.0)));
    CHECK(shares[1].source == "step");
    CHECK(shares[1].share == Approx(0.5 * 0.64));
    CHECK(budget_shares(std::vector<UncertaintyTerms>{}).front().share == 0.0);
}
