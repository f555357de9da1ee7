// Proving a rig: each figure against the fault that was put in, and each row against what it should say.
#include "rig/check/rig_check.hpp"

#include <algorithm>
#include <cmath>

#include <catch2/catch.hpp>

#include "analysis/errors.hpp"
#include "analysis/units.hpp"
#include "tests/rig/check_events.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

RigCheck checked(const CheckBench& bench, bool rests = true, unsigned seed = 3) {
    return check_rig(record_of(proving(bench, rests, seed)));
}

const CheckRow& row(const RigCheck& check, const std::string& key) {
    const auto found = std::find_if(check.rows.begin(), check.rows.end(),
                                    [&](const CheckRow& one) { return one.key == key; });
    REQUIRE(found != check.rows.end());
    return *found;
}

std::vector<std::string> not_passed(const RigCheck& check) {
    std::vector<std::string> keys;
    for (const CheckRow& one : check.rows)
        if (one.verdict != CheckVerdict::pass) keys.push_back(one.key);
    return keys;
}

/// Whether the stated interval holds the truth, and is narrow enough to be of use.
void check_holds(const Measured& figure, double truth, double widest) {
    INFO("found " << figure.value << " +/- " << figure.u95 << ", true " << truth);
    CHECK(std::fabs(figure.value - truth) <= figure.u95);
    CHECK(figure.u95 <= widest);
}

}  // namespace

TEST_CASE("a good rig passes every row", "[rig][check]") {
    const RigCheck check = checked({});
    for (const CheckRow& one : check.rows) {
        INFO(one.key << ": " << one.value.value << " +/- " << one.value.u95 << ": " << one.says);
        CHECK(one.verdict == CheckVerdict::pass);
        CHECK(one.says.empty());
    }
    CHECK(check.verdict == CheckVerdict::pass);
    CHECK(check.direction == 1);
    CHECK(check.counts_per_rev == 14400);
    CHECK(check.resolution_mm == 0.0005);
    CHECK(check.index.marks == 8);
}

TEST_CASE("noise is found at rest and, where a rig is silent then, on the heel", "[rig][check]") {
    const bool rests = GENERATE(true, false);
    CheckBench bench;
    bench.noise_mm = 0.003;
    const RigCheck check = checked(bench, rests);
    const NoiseCheck& noise = check.indicators[0].noise;
    CHECK(noise.from == (rests ? NoiseFrom::rest : NoiseFrom::heel));
    // Rounding to a step adds step^2 / 12.
    check_holds(noise.deviation_mm, std::hypot(0.003, 0.0005 / std::sqrt(12.0)), rests ? 0.0004 : 0.0002);
    CHECK(row(check, "front_noise").verdict == CheckVerdict::look);
    CHECK(noise.step_mm == Approx(0.0005).margin(1e-9));
}

TEST_CASE("drift is found at rest and between turns", "[rig][check]") {
    const bool rests = GENERATE(true, false);
    CheckBench bench;
    bench.noise_mm = 0.0005;
    bench.drift_mm_per_min = 0.02;
    const RigCheck check = checked(bench, rests);
    check_holds(check.indicators[0].noise.drift_mm_per_min, 0.02, 0.006);
    // Nor is it taken for lag, play or hysteresis.
    check_holds(check.indicators[0].both_ways.lag_us, 0.0, 500.0);
    check_holds(check.indicators[0].both_ways.hysteresis_mm, 0.0, 0.003);
    CHECK(row(check, "front_drift").verdict == CheckVerdict::look);
}

TEST_CASE("hysteresis, play and lag are told apart", "[rig][check]") {
    CheckBench bench;
    bench.hysteresis_mm = 0.008;
    bench.play_deg = 0.3;
    bench.lag_us = 6000.0;
    const RigCheck check = checked(bench);
    for (const IndicatorCheck& one : check.indicators) {
        check_holds(one.both_ways.hysteresis_mm, 0.008, 0.001);
        check_holds(one.both_ways.play_rad, rad_from_deg(0.3), rad_from_deg(0.02));
        check_holds(one.both_ways.lag_us, 6000.0, 500.0);
        CHECK(one.both_ways.forward == 4);
        CHECK(one.both_ways.backward == 2);
    }
    CHECK(row(check, "front_hysteresis").verdict == CheckVerdict::look);
    CHECK(row(check, "rear_lag").verdict == CheckVerdict::look);
    CHECK(row(check, "play").verdict == CheckVerdict::look);
    CHECK(check.index.worst_counts.value() <= 1);
}

TEST_CASE("the stated intervals hold the truth 19 times in 20", "[rig][check]") {
    CheckBench bench;
    bench.hysteresis_mm = 0.002;
    bench.play_deg = 0.05;
    bench.lag_us = 500.0;
    int held = 0, all = 0;
    for (unsigned seed = 1; seed <= 40; ++seed) {
        const RigCheck check = checked(bench, false, seed);
        for (const IndicatorCheck& one : check.indicators) {
            const auto count = [&](const Measured& figure, double truth) {
                held += std::fabs(figure.value - truth) <= figure.u95 ? 1 : 0;
                ++all;
            };
            count(one.both_ways.hysteresis_mm, 0.002);
            count(one.both_ways.play_rad, rad_from_deg(0.05));
            count(one.both_ways.lag_us, 500.0);
            count(one.noise.deviation_mm, std::hypot(0.001, 0.0005 / std::sqrt(12.0)));
        }
    }
    INFO(held << " of " << all);
    // 320 intervals, four standard deviations of a binomial at 95 % below its mean; and wide ones would hold always.
    CHECK(held >= 288);
}

TEST_CASE("one way alone, or one turn alone, leaves figures unknown and says what to do", "[rig][check]") {
    SECTION("forward at two speeds: lag, but neither play nor hysteresis") {
        CheckHand hand({});
        hand.turn({770.0, 15.0});
        hand.turn({770.0, 40.0});
        const RigCheck check = check_rig(record_of(hand.events));
        CHECK(check.indicators[0].both_ways.lag_us.known());
        CHECK_FALSE(check.indicators[0].both_ways.hysteresis_mm.known());
        CHECK(row(check, "front_hysteresis").says == "turn a lobe twice both ways");
        CHECK(row(check, "index_width").says == "turn past the mark both ways");
        CHECK(check.verdict == CheckVerdict::unknown);
    }
    SECTION("less than a turn") {
        CheckHand hand({});
        hand.turn({200.0, 15.0});
        const RigCheck check = check_rig(record_of(hand.events));
        CHECK(check.direction == 0);
        CHECK(row(check, "index").verdict == CheckVerdict::unknown);
        CHECK(row(check, "front_repeat").verdict == CheckVerdict::unknown);
        CHECK(check.verdict == CheckVerdict::unknown);
    }
    SECTION("nothing at all") {
        const RigCheck check = check_rig(record_of({RigBack{0, "bench", 14400, 0.0005, false}}));
        CHECK(row(check, "lines_lost").verdict == CheckVerdict::unknown);
        CHECK(row(check, "front_seen").verdict == CheckVerdict::look);
    }
    SECTION("a journal: nothing to tell lag and stuck spindles from") {
        CheckBench bench;
        bench.lift_mm = 0.0;
        const RigCheck check = checked(bench);
        CHECK(row(check, "front_lag").verdict == CheckVerdict::unknown);
        CHECK(row(check, "front_stuck").says == "put both tips on a lobe and turn it once");
    }
}

TEST_CASE("the index row tells slips, wrong counts and a missing mark", "[rig][check]") {
    CheckBench bench;
    SECTION("a slip") {
        bench.slip_counts = 7;
        bench.slip_at_deg = 600.0;
        const RigCheck check = checked(bench);
        CHECK(check.index.worst_counts == 7);
        CHECK(row(check, "index").verdict == CheckVerdict::look);
        CHECK_FALSE(check.index.counts_found.has_value());
    }
    SECTION("another encoder than told") {
        bench.counts_per_rev = 10000;
        const RigCheck check = checked(bench);
        CHECK(check.index.counts_found == 10000);
        CHECK(row(check, "index").says == "the marks lie 10000 counts apart, not 14400: mend counts_per_rev");
    }
    SECTION("no mark") {
        bench.index = false;
        const RigCheck check = checked(bench);
        CHECK(row(check, "index").verdict == CheckVerdict::look);
        CHECK(row(check, "index").says == "no index mark in 4.3 turns: a slip would go unnoticed");
    }
    SECTION("a wide one") {
        bench.mark_width = 9;
        const RigCheck check = checked(bench);
        CHECK(check.index.width_counts.value() == Approx(9.0).margin(1.0));
        CHECK(check.index.worst_counts == 0);
        CHECK(not_passed(check) == std::vector<std::string>{"index_width"});
    }
}

TEST_CASE("a spindle that sticks is told with where", "[rig][check]") {
    CheckBench bench;
    bench.rear_sticks_from_deg = 700.0;
    const RigCheck check = checked(bench);
    const IndicatorCheck& rear = check.indicators[1];
    CHECK(rear.stuck.stuck);
    CHECK(rear.stuck.at_deg == Approx(340.0).margin(2.0));
    CHECK(row(check, "rear_stuck").verdict == CheckVerdict::look);
    CHECK_FALSE(check.indicators[0].stuck.stuck);
}

TEST_CASE("what the rig told of itself is in the rows by its amount", "[rig][check]") {
    std::vector<RigEvent> events = proving({});
    events.emplace_back(RigTrouble{1, TroubleKind::lines_lost, 12, ""});
    events.emplace_back(RigTrouble{1, TroubleKind::line_damaged, 3, ""});
    events.emplace_back(RigTrouble{1, TroubleKind::range_rear, 0, ""});
    const RigCheck check = check_rig(record_of(events));
    CHECK(row(check, "lines_lost").value.value == 15.0);
    CHECK(row(check, "lines_lost").says.rfind("12 lost, 3 damaged, 0 port errors: ", 0) == 0);
    CHECK(row(check, "faults").says == "1 rear out of range");
    CHECK(not_passed(check) == std::vector<std::string>{"lines_lost", "faults"});
}

TEST_CASE("counts before and after a return are never mixed", "[rig][check]") {
    std::vector<RigEvent> events = proving({});
    CheckBench other;
    const std::vector<RigEvent> after = proving(other, true, 5);
    for (RigEvent event : after) {
        if (auto* reading = std::get_if<RigReading>(&event)) reading->count += 5000;
        if (auto* mark = std::get_if<RigIndex>(&event)) mark->count += 5000;
        events.push_back(event);
    }
    const RigCheck check = check_rig(record_of(events));
    CHECK(check.index.worst_counts == 0);
    CHECK(check.verdict == CheckVerdict::pass);
}

TEST_CASE("backward first is direction -1", "[rig][check]") {
    CheckHand hand({});
    hand.turn({-400.0, 15.0});
    hand.turn({400.0, 15.0});
    CHECK(check_rig(record_of(hand.events)).direction == -1);
}

TEST_CASE("a rig that never said how many counts a turn has can't be proved", "[rig][check]") {
    CHECK_THROWS_AS(check_rig(record_of({RigIdle{0, 0}})), DataError);
    CHECK_THROWS_AS(check_rig(record_of({RigBack{0, "counter", 0, {}, false}})), DataError);
}

TEST_CASE("one-way parts: a rock smaller than the threshold opens none", "[rig][check]") {
    std::vector<CheckPoint> points;
    const auto go = [&](std::int64_t to) {
        std::int64_t at = points.empty() ? 0 : points.back().count;
        const std::int64_t step = to > at ? 1 : -1;
        while (at != to) {
            at += step;
            points.push_back({0, at, 0.0, 0.0, 0.0});
        }
    };
    go(100);
    go(95);
    go(200);
    go(50);
    go(55);
    const auto parts = one_way_parts(points, 10);
    REQUIRE(parts.size() == 2);
    CHECK(parts[0].way == 1);
    CHECK(points[parts[0].to - 1].count == 200);
    CHECK(parts[1].way == -1);
    CHECK(points[parts[1].from].count == 200);
    CHECK(points[parts[1].to - 1].count == 50);
    CHECK(one_way_parts({}, 10).empty());
}
