// The front-to-rear zero: combined, by a cam turned end for end, by journals and by lobes. Runs by closed forms.
#include <algorithm>
#include <cmath>
#include <functional>
#include <stdexcept>
#include <string>
#include <utility>

#include <catch2/catch.hpp>

#include "analysis/compare.hpp"
#include "analysis/datum/datum_findings.hpp"
#include "analysis/datum/datum_report.hpp"
#include "analysis/errors.hpp"
#include "tests/analysis/made_run.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

double lift_mm(double rad) {
    const double x = 1.0 - std::fabs(from_nose_deg(rad, 180.0)) / 60.0;
    return x <= 0.0 ? 0.0 : 6.0 * x * x * x * x * (35.0 + x * (-84.0 + x * (70.0 - 20.0 * x)));
}

/// Lobes of these tapers (over 12 mm) read on a rig whose rear indicator reads `zero_mm` more than the front one.
Run lobes_of(const std::vector<double>& tapers_mm, double zero_mm) {
    Run run;
    for (std::size_t i = 0; i < tapers_mm.size(); ++i) {
        const Run one = made_run([&](double rad, double z) {
            return lift_mm(rad) + tapers_mm[i] * z / 12.0 + (z > 0.0 ? zero_mm : 0.0);
        });
        if (i == 0) {
            run = one;
            run.lobes.clear();
            run.sweeps.clear();
        }
        run.lobes.push_back(one.lobes[0]);
        run.sweeps.push_back(one.sweeps[0]);
        run.lobes.back().name = run.sweeps.back().of = "L" + std::to_string(i);
    }
    return run;
}

/// The same cam turned end for end on the same rig: the front indicator now stands over the lobe's rear.
Run turned(const std::vector<double>& tapers_mm, double zero_mm) {
    std::vector<double> other(tapers_mm.size());
    std::transform(tapers_mm.begin(), tapers_mm.end(), other.begin(), std::negate<>());
    Run run = lobes_of(other, zero_mm);
    std::swap(run.rig.front_z_mm, run.rig.rear_z_mm);
    return run;
}

}  // namespace

TEST_CASE("findings of the zero combine by their weights, and disagreement widens u", "[datum]") {
    // By hand: weights 4 and 1, mean (4 x 1 + 1 x 2)/5; 1/sqrt 5; chi^2 = 4 x 0.2^2 + 1 x 0.8^2 = 0.8.
    const auto two = combined({{"bar", 1.0, 0.5}, {"turned", 2.0, 1.0}});
    CHECK(two.rear_minus_front_mm == Approx(1.2));
    CHECK(two.u_mm == Approx(1.0 / std::sqrt(5.0)));
    CHECK(two.chi_squared == Approx(0.8));
    CHECK(two.agree);
    // Two of u = 1 that lie 4 apart: chi^2 = 8 on one degree of freedom, 0.004678 by chance (chi-square tables);
    // u = 1/sqrt2 x sqrt 8.
    const auto apart = combined({{"bar", 0.0, 1.0}, {"bar", 4.0, 1.0}});
    CHECK(apart.by_chance == Approx(0.004678).margin(1e-6));
    CHECK_FALSE(apart.agree);
    CHECK(apart.u_mm == Approx(2.0));
    CHECK(combined({{"bar", 0.3, 0.1}}).u_mm == 0.1);
    CHECK_THROWS_AS(combined({}), std::domain_error);
    CHECK_THROWS_AS(combined({{"bar", 0.3, 0.0}}), std::domain_error);
}

TEST_CASE("half the sum of a cam swept both ways round is the rig, whatever its tapers", "[datum]") {
    const std::vector<double> tapers{0.02, -0.025, 0.018};
    const auto found = datum_end_for_end(lobes_of(tapers, 0.0031), turned(tapers, 0.0031));
    CHECK(found.rear_minus_front_mm == Approx(0.0031).margin(1e-7));
    CHECK(found.u_mm < 1e-4);
    // Indicators that stand elsewhere on the lobe the second time.
    Run other = turned(tapers, 0.0);
    for (std::size_t i = 0; i < tapers.size(); ++i) {
        Sweep& sweep = other.sweeps[i];
        for (std::size_t k = 0; k < sweep.front_mm.size(); ++k) {
            const double lift = lift_mm(sweep.angle_deg[k] * degree);
            sweep.front_mm[k] = lift + tapers[i] * 3.0 / 12.0;
            sweep.rear_mm[k] = lift - tapers[i] * 3.5 / 12.0 + 0.0031;
        }
    }
    other.rig.front_z_mm = 3.0;
    other.rig.rear_z_mm = -3.5;
    CHECK(datum_end_for_end(lobes_of(tapers, 0.0031), other).rear_minus_front_mm ==
          Approx(0.0031).margin(1e-7));
}

TEST_CASE("a turned run that isn't one is refused", "[datum]") {
    const Run run = lobes_of({0.02, -0.02}, 0.0);
    CHECK_THROWS_WITH(datum_end_for_end(run, run), Catch::Contains("front_z and rear_z"));
    Run stranger = turned({0.02}, 0.0);
    stranger.lobes[0].name = stranger.sweeps[0].of = "X";
    CHECK_THROWS_WITH(datum_end_for_end(run, stranger), Catch::Contains("no lobe in common"));
}

TEST_CASE("a drifted datum is noticed by journals read with both indicators", "[datum]") {
    Run run = lobes_of({0.02}, 0.004);
    Journal journal;
    journal.name = "J1";
    run.journals.push_back(journal);
    Sweep sweep = made_run([](double, double z) { return z > 0.0 ? 0.004 : 0.0; }).sweeps[0];
    sweep.of = "J1";
    run.sweeps.push_back(sweep);
    run.datum->u_mm = 0.0004;
    run.datum->rear_minus_front_mm = 0.0045;
    const auto by = datum_by_journals(run);
    REQUIRE(by);
    CHECK(by->rear_minus_front_mm == Approx(0.004).margin(1e-9));
    CHECK(datum_doubts(run, inspect_run(run).lobes).empty());
    run.datum->rear_minus_front_mm = 0.0;
    const auto notes = inspect_run(run).notes;
    CHECK(std::any_of(notes.begin(), notes.end(), [](const std::string& note) {
        return note.find("may have drifted: by the journals") != std::string::npos;
    }));
}

TEST_CASE("lobes ground to either side show what the zero should be", "[datum]") {
    Run run = lobes_of({0.020, 0.022, -0.021, -0.019, -0.022}, 0.0);
    run.info.condition = Condition::as_new;
    run.datum->u_mm = 0.0003;
    run.datum->rear_minus_front_mm = 0.0;
    const auto good = datum_by_lobes(run, inspect_run(run).lobes);
    REQUIRE(good);
    // Mean of 0.021 and -0.020667 is 0.000167 over 12 mm, of which the tips see 8.
    CHECK(good->rear_minus_front_mm == Approx(0.5 * (0.021 - 0.062 / 3.0) * 8.0 / 12.0).margin(1e-6));
    CHECK(datum_doubts(run, inspect_run(run).lobes).empty());
    run.datum->rear_minus_front_mm = -0.004;
    CHECK(datum_doubts(run, inspect_run(run).lobes).size() == 1);
    run.info.condition = Condition::used;  // worn lobes may well differ
    CHECK(datum_doubts(run, inspect_run(run).lobes).empty());
}

TEST_CASE("a datum report combines readings and leaves checks apart", "[datum]") {
    const std::vector<double> tapers{0.02, -0.025, 0.018};
    Run run = lobes_of(tapers, 0.0031);
    run.datum = DatumInfo{DatumMethod::bar, 0.0035, 0.0004};
    const Run other = turned(tapers, 0.0031);
    const auto report = datum_report(run, &other, {{"bar", 0.0030, 0.0004}});
    REQUIRE(report.estimates.size() == 3);
    REQUIRE(report.together);
    CHECK(report.together->agree);
    CHECK(report.together->u_mm < 0.0003);
    CHECK(report.method == DatumMethod::bar);
    run.datum.reset();
    CHECK(datum_report(run, &other, {}).method == DatumMethod::end_for_end);
    CHECK_FALSE(datum_report(run, nullptr, {}).together);
}
