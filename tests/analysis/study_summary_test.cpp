// What many judged cams say together.
#include "analysis/study/study_summary.hpp"

#include <catch2/catch.hpp>

using namespace lobewright;

namespace {

SummaryRun run_of(const std::string& part, double hours, Verdict verdict, std::vector<double> wear_mm) {
    SummaryRun run;
    run.path = part;
    run.part = part;
    run.hours = hours;
    run.verdict = verdict;
    run.compared = true;
    for (std::size_t i = 0; i < wear_mm.size(); ++i) {
        SummaryLobe lobe;
        lobe.name = std::string(1, static_cast<char>('A' + i));
        lobe.verdict = verdict;
        lobe.z_mm = 100.0 - 10.0 * static_cast<double>(i);
        lobe.nose_wear_mm = wear_mm[i];
        run.lobes.push_back(lobe);
    }
    return run;
}

}  // namespace

TEST_CASE("quantiles are those of type 7", "[outside][study]") {
    // R 4: quantile(c(7, 1, 2, 10)) gives 1.00 1.75 4.50 7.75 10.00 (its documented definition, by hand).
    const Spread spread = spread_of({7.0, 1.0, 2.0, 10.0});
    CHECK(spread.count == 4);
    CHECK(spread.quarter == Approx(1.75));
    CHECK(spread.median == Approx(4.5));
    CHECK(spread.three_quarters == Approx(7.75));
    CHECK(spread.largest == 10.0);
    CHECK(spread_of({}).count == 0);
}

TEST_CASE("cams are summed up by part, by hours and by place", "[study]") {
    StudySummaryMaker maker;
    maker.add(run_of("P", 100.0, Verdict::reuse, {0.01, 0.03}));
    maker.add(run_of("P", 199.0, Verdict::regrind, {0.02, 0.50}));
    maker.add(run_of("P", 200.0, Verdict::reuse, {0.03, 0.05}));
    maker.add(run_of("Q", 20.0, Verdict::remeasure, {0.04}));
    maker.add_failure(65);
    maker.add_failure(65);
    const StudySummary s = maker.summary();
    CHECK(s.runs == 6);
    CHECK(s.compared == 4);
    CHECK(s.failures == std::map<int, std::size_t>{{65, 2}});
    CHECK(s.cams == VerdictCounts{2, 1, 1, 0});
    CHECK(s.lobes == VerdictCounts{4, 1, 2, 0});
    REQUIRE(s.places.size() == 3);
    CHECK(s.places[0].lobe == "B");  // stands further front than A
    CHECK(s.places[0].nose_wear_mm.median == Approx(0.05));
    CHECK(s.places[0].nose_wear_mm.largest == Approx(0.50));
    CHECK(s.places[1].nose_wear_mm.median == Approx(0.02));
    REQUIRE(s.hours.size() == 3);
    CHECK(s.hours[0].from == 0.0);
    CHECK(s.hours[0].wear_per_1000_h_mm.count == 0);  // too few hours for a rate
    CHECK(s.hours[1].from == 100.0);
    CHECK(s.hours[1].worst_nose_wear_mm.median == Approx(0.265));
    CHECK(s.hours[2].wear_per_1000_h_mm.median == Approx(0.2));
    REQUIRE(s.parts.size() == 2);
    CHECK(s.parts[0].hours.median == Approx(199.0));
    REQUIRE(s.most_worn.size() == 4);
    CHECK(s.most_worn[0].second == Approx(0.50));
}
