// The sweep in hand on simulated sweeps of a known cam: it ends by itself with the rows that are true, and names every
// trouble with where it was.
#include <algorithm>
#include <cmath>

#include <catch2/catch.hpp>

#include "tests/rig/sweep_events.hpp"

using namespace lobewright;
using namespace lobewright::tests;
using Words = std::vector<std::string>;

namespace {

/// Whether each row stands in the truth: the same reading at the same count, whole turns aside.
bool all_true(const Sweep& sweep, const Sweep& truth) {
    for (std::size_t i = 0; i < sweep.rows(); ++i) {
        bool found = false;
        for (std::size_t k = 0; k < truth.rows() && !found; ++k) {
            found = (sweep.count[i] - truth.count[k]) % test_counts_per_rev == 0 &&
                    sweep.front_mm[i] == truth.front_mm[k] && sweep.rear_mm[i] == truth.rear_mm[k];
        }
        if (!found) return false;
    }
    return true;
}

bool said(const Fed& fed, const std::string& words) {
    const Words all = fed.said();
    return std::find(all.begin(), all.end(), words) != all.end();
}

}  // namespace

TEST_CASE("a turn with overlap ends by itself and holds exactly what the rig sent", "[rig][sweep]") {
    const Sweep truth = bench_sweep(bench_hand(-5.0, 2.5));
    Fed fed;
    fed.take(events_of(truth, 12345));
    CHECK(fed.sweep.done());
    CHECK(fed.said().empty());
    CHECK(fed.sweep.marks().empty());
    CHECK(fed.sweep.notes().empty());
    const Sweep sweep = fed.sweep.sweep();
    CHECK(sweep.of == "1E");
    CHECK(sweep.rows() == sweep.front_mm.size());
    CHECK(sweep.rows() == sweep.rear_mm.size());
    CHECK(sweep.t_us.front() == 0);
    CHECK(all_true(sweep, truth));
    const double travel_deg = static_cast<double>(sweep.count.back() - sweep.count.front()) / 40.0;
    CHECK(travel_deg > 370.0);
    CHECK(travel_deg < 371.0);
}

TEST_CASE("begun before the first index mark the sweep goes on until a turn between marks is whole",
          "[rig][sweep]") {
    const Sweep truth = bench_sweep(bench_hand(90.0, 3.0));
    Fed fed;
    fed.take(events_of(truth));
    REQUIRE(fed.sweep.done());
    const Sweep sweep = fed.sweep.sweep();
    CHECK(sweep.count.front() == 0);
    CHECK(sweep.count.back() < test_counts_per_rev + 11L * 40);
    CHECK(all_true(sweep, truth));
}

TEST_CASE("a hand that stops after a turn and its overlap ends the sweep, with a note", "[rig][sweep]") {
    const Sweep truth = bench_sweep(bench_hand(90.0, 1.1));
    Fed fed;
    fed.take(events_of(truth, -777));
    CHECK(fed.sweep.enough());
    CHECK_FALSE(fed.sweep.done());
    const std::int64_t stopped_us = truth.t_us.back();
    fed.take(RigIdle{stopped_us + 1'000'000, truth.count.back() - 777});
    CHECK_FALSE(fed.sweep.done());
    fed.take(RigIdle{stopped_us + 3'000'000, truth.count.back() - 777});
    CHECK(fed.sweep.done());
    CHECK(fed.sweep.notes().size() == 1);
    CHECK(fed.sweep.sweep().rows() == truth.rows());
    CHECK(fed.sweep.sweep().count.front() == truth.count.front() - test_counts_per_rev);
}

TEST_CASE("angles are counted from the beginning until the mark, and true from then on", "[rig][sweep]") {
    const auto events = events_of(bench_sweep(bench_hand(300.0, 2.0)), 5000);
    Fed fed;
    const std::size_t mark = at_deg(events, 360.0, 5000);
    for (std::size_t i = 0; i + 1 < mark; ++i) fed.take(events[i]);
    CHECK_FALSE(fed.sweep.true_angles());
    CHECK(*fed.sweep.angle_deg() == Approx(60.0).margin(0.6));
    fed.take(std::vector(events.begin() + static_cast<std::ptrdiff_t>(mark) - 1,
                         events.begin() + static_cast<std::ptrdiff_t>(mark) + 5));
    CHECK(fed.sweep.true_angles());
    CHECK(in_turn_deg(*fed.sweep.angle_deg()) < 2.0);
    CHECK(fed.sweep.missing().at(0).to_deg == Approx(300.0).margin(0.3));
}

TEST_CASE("lines lost leave a gap that is named, asked for again and filled", "[rig][sweep]") {
    auto events = events_of(bench_sweep(bench_hand(-5.0, 3.0)));
    const auto from = static_cast<std::ptrdiff_t>(at_deg(events, 118.0)) + 1;
    const auto to = static_cast<std::ptrdiff_t>(at_deg(events, 126.0));
    const RigTrouble lost{std::get<RigReading>(events[static_cast<std::size_t>(to)]).t_us,
                          TroubleKind::lines_lost, static_cast<std::uint64_t>(to - from), ""};
    events.erase(events.begin() + from, events.begin() + to);
    events.insert(events.begin() + from, lost);
    Fed fed;
    const std::size_t round = at_deg(events, 370.0);
    for (std::size_t i = 0; i < round; ++i) fed.take(events[i]);
    CHECK(said(fed, "31 lines lost at 118 deg"));
    CHECK(said(fed, "gap 118 to 126 deg"));
    CHECK(fed.sweep.marks() == Words{"gap 118 to 126 deg"});
    CHECK_FALSE(fed.sweep.enough());
    for (std::size_t i = round; i < events.size(); ++i) fed.take(events[i]);
    CHECK(fed.sweep.done());
    CHECK(fed.sweep.marks().empty());
    for (const SweepTrouble& trouble : fed.sweep.troubles()) CHECK(trouble.put_right);
}

TEST_CASE("turning back is named where it happened and costs nothing", "[rig][sweep]") {
    HandModel hand = bench_hand(-5.0, 1.3);
    const Sweep there = bench_sweep(hand);
    // Forward to 212 degrees, back to 205, and on again.
    Sweep truth = there;
    const auto at = [&](std::int64_t count) {
        return std::find(there.count.begin(), there.count.end(), count) - there.count.begin();
    };
    const auto turn = at(8480), low = at(8200);
    const auto rearranged = [&](auto& column, const auto& from) {
        column.assign(from.begin(), from.begin() + turn + 1);
        for (auto i = turn - 1; i >= low; --i) column.push_back(from[static_cast<std::size_t>(i)]);
        column.insert(column.end(), from.begin() + low + 1, from.end());
    };
    rearranged(truth.count, there.count);
    rearranged(truth.front_mm, there.front_mm);
    rearranged(truth.rear_mm, there.rear_mm);
    truth.t_us.resize(truth.count.size());
    for (std::size_t i = 0; i < truth.t_us.size(); ++i) truth.t_us[i] = static_cast<std::int64_t>(i) * 12'500;
    Fed fed;
    fed.take(events_of(truth));
    CHECK(fed.sweep.done());
    CHECK(fed.said() == Words{"turned back at 212 deg"});
    CHECK(fed.sweep.marks().empty());
}

TEST_CASE("turning against the running direction covers nothing and is named", "[rig][sweep]") {
    const Sweep truth = bench_sweep(bench_hand(30.0, 1.2));
    SweepPlan plan = bench_plan();
    plan.direction = -1;
    Fed fed(plan);
    fed.take(events_of(truth));
    CHECK_FALSE(fed.sweep.enough());
    REQUIRE_FALSE(fed.said().empty());
    CHECK(fed.said().front().rfind("turned back at", 0) == 0);
}

TEST_CASE("counts that fall in the running direction give the same sweep upside down", "[rig][sweep]") {
    const Sweep truth = bench_sweep(bench_hand(-5.0, 1.5));
    Sweep falling = truth;
    for (auto& count : falling.count) count = -count;
    SweepPlan plan = bench_plan();
    plan.direction = -1;
    Fed fed(plan);
    fed.take(events_of(falling));
    REQUIRE(fed.sweep.done());
    CHECK(fed.said().empty());
    const Sweep sweep = fed.sweep.sweep();
    CHECK(sweep.rows() > 1440);
    CHECK(all_true(sweep, falling));
    CHECK(sweep.count.back() < sweep.count.front());
}

TEST_CASE("a slip is named by its counts, its turn isn't used, and the sweep goes on to whole",
          "[rig][sweep]") {
    const Sweep truth = bench_sweep(bench_hand(-5.0, 4.0));
    auto events = events_of(truth);
    const int slip = GENERATE(3, -3, 2, 40);
    const double slip_deg = GENERATE(10.0, 200.0, 350.0);
    for (std::size_t i = at_deg(events, slip_deg); i < events.size(); ++i) {
        if (auto* reading = std::get_if<RigReading>(&events[i])) reading->count += slip;
        if (auto* mark = std::get_if<RigIndex>(&events[i])) mark->count += slip;
    }
    Fed fed;
    fed.take(events);
    CHECK(said(fed, "index off by " + std::to_string(std::abs(slip)) + " counts"));
    REQUIRE(fed.sweep.done());
    CHECK(fed.sweep.marks().empty());
    CHECK(all_true(fed.sweep.sweep(), truth));
    CHECK(fed.sweep.sweep().rows() > std::size_t{360} * 4);
}

TEST_CASE("an encoder's complaint is settled by the next mark that agrees", "[rig][sweep]") {
    auto events = events_of(bench_sweep(bench_hand(-5.0, 1.5)));
    const std::size_t here = at_deg(events, 77.0);
    events.insert(events.begin() + static_cast<std::ptrdiff_t>(here) + 1,
                  RigTrouble{std::get<RigReading>(events[here]).t_us, TroubleKind::encoder, 0, ""});
    Fed fed;
    for (std::size_t i = 0; i < at_deg(events, 300.0); ++i) fed.take(events[i]);
    const Words open = fed.sweep.marks();
    CHECK(std::find(open.begin(), open.end(), "encoder fault at 77 deg") != open.end());
    fed.take(std::vector(events.begin() + static_cast<std::ptrdiff_t>(at_deg(events, 300.0)), events.end()));
    CHECK(fed.sweep.done());
    CHECK(fed.sweep.marks().empty());
}

TEST_CASE("a reading out of range or missing is named once and its stretch read again", "[rig][sweep]") {
    auto events = events_of(bench_sweep(bench_hand(-5.0, 3.0)));
    const std::size_t from = at_deg(events, 100.0), to = at_deg(events, 104.0);
    const bool ranged = GENERATE(true, false);
    for (std::size_t i = from; i < to; ++i) std::get<RigReading>(events[i]).front_mm.reset();
    if (ranged)
        events.insert(events.begin() + static_cast<std::ptrdiff_t>(from),
                      RigTrouble{std::get<RigReading>(events[from]).t_us, TroubleKind::range_front, 0, ""});
    Fed fed;
    fed.take(events);
    CHECK(fed.sweep.done());
    CHECK(fed.said().at(0) == (ranged ? "front out of range from 100 to 104 deg"
                                      : "front without a reading from 100 to 104 deg"));
    CHECK(fed.said().at(1) == "gap 100 to 104 deg");
    CHECK(fed.said().size() == 2);
    CHECK(fed.sweep.marks().empty());
    CHECK(fed.sweep.sweep().front_mm.size() == fed.sweep.sweep().rows());
}

TEST_CASE("an indicator that hangs is named and marks the sweep", "[rig][sweep]") {
    auto events = events_of(bench_sweep(bench_hand(-5.0, 1.5)));
    // The lobe's flanks are where the reading moves; hold front from half lift on.
    const std::size_t from =
        first_of(events, [](const RigReading& r) { return r.front_mm.value_or(0.0) > 3.0; });
    const double held = *std::get<RigReading>(events[from]).front_mm;
    for (std::size_t i = from; i < events.size(); ++i)
        if (auto* reading = std::get_if<RigReading>(&events[i])) reading->front_mm = held;
    Fed fed;
    fed.take(events);
    CHECK(fed.sweep.done());
    const Words marks = fed.sweep.marks();
    CHECK(std::any_of(marks.begin(), marks.end(),
                      [](const std::string& m) { return m.rfind("front stuck", 0) == 0; }));
    CHECK(std::none_of(marks.begin(), marks.end(),
                       [](const std::string& m) { return m.rfind("rear stuck", 0) == 0; }));
}

TEST_CASE("a rig without faults is never called stuck, whatever lobe or journal", "[rig][sweep]") {
    const std::string of = GENERATE("1E", "2I", "4E", "J2");
    SweepPlan plan = bench_plan();
    plan.of = of;
    plan.journal = of == "J2";
    Fed fed(plan);
    fed.take(events_of(bench_sweep(bench_hand(-5.0, 1.5), bench_rig(), of)));
    CHECK(fed.sweep.done());
    CHECK(fed.said().empty());
}

TEST_CASE("drift between the turns marks the sweep", "[rig][sweep]") {
    auto events = events_of(bench_sweep(bench_hand(-5.0, 1.5)));
    for (RigEvent& event : events)
        if (auto* reading = std::get_if<RigReading>(&event))
            *reading->rear_mm += 0.012e-6 * static_cast<double>(reading->t_us) / 18.0;
    Fed fed;
    fed.take(events);
    CHECK(fed.sweep.done());
    CHECK(fed.sweep.marks() == Words{"drift 0.012 mm over a turn"});
}

TEST_CASE("too fast for the link is told, with the speed", "[rig][sweep]") {
    HandModel hand = bench_hand(-5.0, 1.5);
    hand.mean_deg_per_s = 50.0;
    SweepPlan plan = bench_plan();
    plan.most_deg_per_s = 28.8;
    Fed fed(plan);
    fed.take(events_of(bench_sweep(hand)));
    CHECK(fed.sweep.done());
    REQUIRE(fed.said().size() == 1);
    CHECK(fed.said().front().rfind("too fast, ", 0) == 0);
}

TEST_CASE("readings whose time is too doubtful for the speed aren't used", "[rig][sweep]") {
    auto events = events_of(bench_sweep(bench_hand(-5.0, 3.0)));
    const std::size_t from = at_deg(events, 40.0), to = at_deg(events, 50.0);
    for (std::size_t i = from; i < to; ++i)
        std::get<RigReading>(events[i]).doubt_us = 4000.0;  // 0.08 deg at 20 deg/s
    Fed fed;
    fed.take(events);
    CHECK(fed.sweep.done());
    REQUIRE(fed.said().size() == 2);
    CHECK(fed.said()[0].rfind("too fast for these indicators from 40 to 50 deg: angle known to 0.08 deg",
                              0) == 0);
    CHECK(fed.said()[1] == "gap 40 to 50 deg");
    const auto count_is_within = [](std::int64_t count) { return count > 1600 + 10 && count < 2000 - 10; };
    const Sweep sweep = fed.sweep.sweep();
    CHECK(std::count_if(sweep.count.begin(), sweep.count.end(), count_is_within) == 0);
}

TEST_CASE("how fast the hand may turn is known from the readings themselves", "[rig][sweep]") {
    auto events = events_of(bench_sweep(bench_hand(-5.0, 3.0)));
    Fed latched;
    latched.take({events.begin(), events.begin() + 200});
    CHECK_FALSE(latched.sweep.fastest_deg_per_s().has_value());
    for (RigEvent& event : events)
        if (auto* reading = std::get_if<RigReading>(&event)) reading->doubt_us = 4000.0;
    Fed doubtful;
    doubtful.take({events.begin(), events.begin() + 200});
    REQUIRE(doubtful.sweep.fastest_deg_per_s().has_value());
    CHECK(*doubtful.sweep.fastest_deg_per_s() == Approx(12.5));  // 0.05 deg in 4 ms
    // A reading every 100 ms: one degree each (the widest gap) at 10 deg/s.
    Fed seldom;
    std::int64_t t_us = 0;
    for (int i = 0; i < 200; ++i) {
        auto* reading = std::get_if<RigReading>(&events[static_cast<std::size_t>(i)]);
        if (reading == nullptr) continue;
        reading->t_us = t_us += 100'000;
        seldom.take(*reading);
    }
    CHECK(*seldom.sweep.fastest_deg_per_s() == Approx(10.0));
}

TEST_CASE("unplugged at 200 degrees and back with counts of its own: the stretch missed is read again",
          "[rig][sweep]") {
    const Sweep truth = bench_sweep(bench_hand(-5.0, 4.0));
    const auto events = events_of(truth);
    Fed fed;
    const std::size_t gone = at_deg(events, 200.0), back = at_deg(events, 230.0);
    for (std::size_t i = 0; i < gone; ++i) fed.take(events[i]);
    const std::int64_t t_us = std::get<RigReading>(events[gone]).t_us;
    fed.take(RigTrouble{t_us, TroubleKind::unplugged, 0, ""});
    CHECK(fed.sweep.away());
    fed.take(RigBack{t_us + 1, "bench", test_counts_per_rev, 0.0005, false});
    CHECK_FALSE(fed.sweep.angle_deg());
    const std::int64_t restart = std::get<RigReading>(events[back]).count;
    for (std::size_t i = back; i < events.size(); ++i) {
        RigEvent event = events[i];
        if (auto* reading = std::get_if<RigReading>(&event)) reading->count -= restart;
        if (auto* mark = std::get_if<RigIndex>(&event)) mark->count -= restart;
        fed.take(event);
    }
    CHECK(said(fed, "unplugged at 200 deg"));
    REQUIRE(fed.sweep.done());
    CHECK(fed.sweep.marks().empty());
    CHECK(all_true(fed.sweep.sweep(), truth));
}

TEST_CASE("a rig whose index mark never comes is named, and its sweep has no rows to keep as true",
          "[rig][sweep]") {
    auto events = events_of(bench_sweep(bench_hand(-5.0, 2.0)));
    events.erase(std::remove_if(events.begin(), events.end(),
                                [](const RigEvent& e) { return std::holds_alternative<RigIndex>(e); }),
                 events.end());
    Fed fed;
    fed.take(events);
    CHECK_FALSE(fed.sweep.done());
    CHECK(said(fed, "no index mark in a whole turn"));
    CHECK(fed.sweep.sweep().rows() == 0);
    SweepPlan plan = bench_plan();
    plan.index = false;
    Fed without(plan);
    without.take(events);
    CHECK(without.sweep.done());
    CHECK(without.sweep.sweep().rows() > 1440);
}

TEST_CASE("a sweep that falls short says what is open", "[rig][sweep]") {
    const auto events = events_of(bench_sweep(bench_hand(-5.0, 2.0)));
    Fed fed;
    for (std::size_t i = 0; i < at_deg(events, 200.0); ++i) fed.take(events[i]);
    CHECK(fed.sweep.marks() == Words{"gap 200 to 355 deg"});
    CHECK(Fed().sweep.marks() == Words{"the index mark was never seen: angles unknown", "nothing was read"});
}

TEST_CASE("a journal may be read by one indicator", "[rig][sweep]") {
    SweepPlan plan = bench_plan();
    plan.of = "J2";
    plan.journal = true;
    auto events = events_of(bench_sweep(bench_hand(-5.0, 1.5), bench_rig(), "J2"));
    for (RigEvent& event : events)
        if (auto* reading = std::get_if<RigReading>(&event)) reading->rear_mm.reset();
    Fed fed(plan);
    fed.take(events);
    CHECK(fed.sweep.done());
    CHECK(fed.sweep.sweep().rear_mm.empty());
    CHECK(fed.sweep.sweep().front_mm.size() == fed.sweep.sweep().rows());
}
