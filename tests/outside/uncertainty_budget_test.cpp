// How uncertainties combine, against outside figures: JCGM 100:2008, whose clauses are named from memory; digits
// derived, numerically verified.
#include <algorithm>
#include <cmath>
#include <limits>

#include <catch2/catch.hpp>

#include "../analysis/made_run.hpp"
#include "analysis/compare.hpp"
#include "analysis/uncertainty/influence.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

/// A four-five-six-seven lobe: lift 6, 60 degrees up, 60 down.
double lobe_mm(double angle_rad, double) {
    const double x = 1.0 - std::fabs(from_nose_deg(angle_rad, 180.0)) / 60.0;
    if (x <= 0.0) return 0.0;
    return 6.0 * x * x * x * x * (35.0 + x * (-84.0 + x * (70.0 - 20.0 * x)));
}

Run run_with(double error_limit_mm, std::uint64_t seed) {
    Run run = made_run(lobe_mm, {.step_deg = 0.5, .noise_mm = 1e-5, .seed = seed});
    run.rig.error_limit_mm = error_limit_mm;
    return run;
}

}  // namespace

TEST_CASE("one repeated and one known term combine as Welch and Satterthwaite say",
          "[outside][uncertainty]") {
    // (0.0010, 4), (0.0005, inf): uc 1.118033989e-3, nu 6.25 (JCGM 100 G.4.1); t95(6.25) = 2.423381029
    // (scipy.stats).
    UncertaintyTerms terms;
    terms.noise = 0.0010;
    terms.degrees_of_freedom = 4.0;
    terms.datum = 0.0005;
    CHECK(terms.combined() == Approx(1.118033989e-3).epsilon(1e-9));
    CHECK(terms.expanded() == Approx(1.118033989e-3 * 2.423381029).epsilon(1e-8));
}

TEST_CASE("the bench budget", "[outside][uncertainty]") {
    // (0.0006, 5), (0.0005/sqrt12, inf), (0.002/sqrt3, inf), (0.0004, 8): uc 1.369002070e-3, nu 120.621590, U
    // 2.710528822e-3. Both repeated terms stand in `noise` with their own joint degrees of freedom.
    const double a = 0.0006 * 0.0006, b = 0.0004 * 0.0004;
    UncertaintyTerms terms;
    terms.noise = std::sqrt(a + b);
    terms.degrees_of_freedom = (a + b) * (a + b) / (a * a / 5.0 + b * b / 8.0);
    terms.indicator = 0.002 / std::sqrt(3.0);
    terms.passes = 0.0005 / std::sqrt(12.0);
    CHECK(terms.combined() == Approx(1.369002070e-3).epsilon(1e-9));
    // The published k is that of the next lower whole number of degrees of freedom, 120: 5e-5 more.
    CHECK(terms.expanded() == Approx(2.710528822e-3).epsilon(6e-5));
    CHECK(terms.expanded() < 2.710528822e-3);
}

TEST_CASE("the end gauge's terms combine to its published uncertainty", "[outside][uncertainty]") {
    // JCGM 100:2008 H.1 (terms seen in a metrology library's worked copy), nm: 25; 5.8/24, 3.9/5, 6.7/8; 2.8868;
    // 16.5990 -> 31.664, published as 32; degrees of freedom 18, 25.4, 50, 2 -> 16.752.
    const double difference = std::sqrt(5.8 * 5.8 + 3.9 * 3.9 + 6.7 * 6.7);
    CHECK(difference == Approx(9.6819).margin(5e-5));
    UncertaintyTerms terms;
    terms.datum = 25.0;
    terms.noise = difference;
    terms.temperature = std::hypot(2.8868, 16.5990);
    terms.degrees_of_freedom = std::numeric_limits<double>::infinity();
    CHECK(terms.combined() == Approx(31.664).margin(5e-4));
    const double uc4 = std::pow(terms.combined(), 4.0);
    const double parts = std::pow(25.0, 4.0) / 18.0 + std::pow(difference, 4.0) / 25.4 +
                         std::pow(2.8868, 4.0) / 50.0 + std::pow(16.5990, 4.0) / 2.0;
    CHECK(uc4 / parts == Approx(16.752).margin(5e-4));
    // All of it as one repeated term: t95(16.75) = 2.112216902 (scipy.stats).
    UncertaintyTerms repeated;
    repeated.noise = 31.664;
    repeated.degrees_of_freedom = 16.75;
    CHECK(repeated.expanded() == Approx(31.664 * 2.112216902).epsilon(1e-8));
}

TEST_CASE("terms known for certain are expanded by the normal factor", "[outside][uncertainty]") {
    UncertaintyTerms terms;
    terms.indicator = 3.0;
    terms.datum = 4.0;
    CHECK(terms.expanded() == Approx(5.0 * 1.959963985).epsilon(1e-9));
    terms.noise = 12.0;
    terms.degrees_of_freedom = std::numeric_limits<double>::infinity();
    CHECK(terms.expanded() == Approx(13.0 * 1.959963985).epsilon(1e-9));
}

TEST_CASE("an error limit is rectangular: limit over root three", "[outside][uncertainty]") {
    // +-0.002 -> u = 1.154700538e-3 (JCGM 100 4.3.7). The lift at mid-width is the mean of two indicators,
    // each read at the nose and on the heel, where its error is another: u = 0.002/sqrt3 sqrt(2 x 2)/2. The
    // heel is read over a few micrometres, the noise is a hundredth of a micrometre.
    const auto figures = inspect_run(run_with(0.002, 1));
    CHECK(figures.lobes.at(0).lift.used_mm.u95 == Approx(1.959963985 * 1.154700538e-3).epsilon(2e-3));
}

TEST_CASE("independent error limits of two runs add in squares", "[outside][uncertainty]") {
    // Used +-0.003 and reference +-0.002: u = 1.732050808e-3 and 1.154700538e-3.
    const auto figures = compare_runs(run_with(0.002, 1), run_with(0.003, 2));
    const double u = std::hypot(1.732050808e-3, 1.154700538e-3);
    CHECK(figures.lobes.at(0).lift.loss_mm.u95 == Approx(1.959963985 * u).epsilon(2e-3));
}

TEST_CASE("a lift grows with the cam's temperature", "[outside][uncertainty]") {
    // 8 mm of lift, grey iron at 10.5e-6/K, +10 K: 0.84 um. Coefficients seen: cast iron 10.0e-6 (Dooley, Applied
    // Science for Metal Workers) and 10.8e-6/K (a trade table), steel 11.5e-6/K (JCGM 100 H.1). Any step up to the
    // runs' difference is as likely: over root three.
    const auto term_at = [](double used_c) {
        Run reference = run_with(0.0, 1), used = run_with(0.0, 2);
        reference.rig.temperature_c = 20.0;
        used.rig.temperature_c = used_c;
        const auto figures = compare_runs(reference, used);
        const auto& budget = figures.lobes.at(0).budget;
        const auto at = std::find_if(budget.begin(), budget.end(),
                                     [](const BudgetLine& line) { return line.figure == "lift.loss"; });
        REQUIRE(at != budget.end());
        return at->terms.temperature;
    };
    CHECK(term_at(30.0) == Approx(0.84e-3 * 6.0 / 8.0 / std::sqrt(3.0)).epsilon(0.1));
    CHECK(term_at(15.0) == Approx(0.5 * term_at(30.0)).epsilon(1e-6));
    CHECK(term_at(20.0) == 0.0);
}
