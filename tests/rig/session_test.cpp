// The walk along a cam without a port: notes come back at once or late, sweeps land in a real folder, and the same order
// of events and notes gives the same file.
#include <algorithm>
#include <filesystem>

#include <catch2/catch.hpp>

#include "analysis/errors.hpp"
#include "analysis/run/run_folder.hpp"
#include "analysis/run/sweep_file.hpp"
#include "rig/session/sweep_session.hpp"
#include "rig/session/turn_guard.hpp"
#include "tests/cli/program.hpp"
#include "tests/rig/sweep_events.hpp"

using namespace lobewright;
using namespace lobewright::tests;
namespace fs = std::filesystem;

namespace {

/// A run of the launch engine's cam without sweeps, in a folder of its own.
struct EmptyRun {
    TempFolder folder;
    fs::path run = folder / "run";

    EmptyRun() {
        RunPlan plan;
        plan.info.id = "bench";
        plan.info.taken = "2026-02-03T10:15:00Z";
        Run made = simulate_run(launch_engine_cam(), bench_rig(), bench_hand(0.0, 1.1), {}, plan, 1);
        made.sweeps.clear();
        write_run(made, run);
    }
};

/// A session whose notes wait until they are let through, as they do while the rig's thread is busy.
struct Walk {
    EmptyRun made;
    SweepStore store{made.run};
    std::vector<SessionItem> waiting;
    std::vector<SessionItem> recorded;
    SweepSession session;

    explicit Walk(const std::vector<std::string>& places = {})
        : session(store, bench_order(store.run(), places), bench_plan(),
                  [this](const SessionNote& note) { waiting.emplace_back(note); }) {}

    void pass_notes() {
        while (!waiting.empty()) {
            const SessionItem note = waiting.front();
            waiting.erase(waiting.begin());
            give(note);
        }
    }
    void give(const SessionItem& item) {
        recorded.push_back(item);
        session.take(item);
    }
    void turn(const std::vector<RigEvent>& events) {
        pass_notes();
        for (const RigEvent& event : events) {
            give(event);
            pass_notes();
        }
    }
    [[nodiscard]] bool has(const std::string& file) const { return fs::exists(made.run / file); }
};

std::vector<RigEvent> whole_turn(double start_deg = -5.0) {
    return events_of(bench_sweep(bench_hand(start_deg, 1.5)));
}

std::vector<RigEvent> up_to(std::vector<RigEvent> events, double deg) {
    events.resize(at_deg(events, deg));
    return events;
}

}  // namespace

TEST_CASE("bench order is front to rear, and a name that the run lacks is refused", "[rig][session]") {
    const EmptyRun made;
    const Run run = read_run(made.run);
    const auto places = bench_order(run);
    CHECK(places.size() == run.lobes.size() + run.journals.size());
    CHECK(std::is_sorted(places.begin(), places.end(),
                         [](const BenchPlace& a, const BenchPlace& b) { return a.z_mm < b.z_mm; }));
    const auto named = bench_order(run, {"2I", "1E"});
    REQUIRE(named.size() == 2);
    CHECK(named[0].name == "1E");
    CHECK_THROWS_WITH(bench_order(run, {"9X"}),
                      Catch::Contains("\"9X\": the run has no lobe or journal of this name"));
}

TEST_CASE("a whole sweep stands in the run and the next lobe is in turn", "[rig][session]") {
    Walk walk({"1E", "1I"});
    CHECK(walk.session.place().name == "1E");
    walk.session.go();
    walk.turn(whole_turn());
    CHECK(walk.has("sweeps/1E-1.csv"));
    CHECK_FALSE(walk.has("sweeps/1E-1.txt"));
    CHECK(walk.session.place().name == "1I");
    const auto outcomes = walk.session.outcomes();
    REQUIRE(outcomes.size() == 1);
    CHECK(outcomes[0].taken.end == SweepEnd::whole);
    const Run run = read_run(walk.made.run);
    REQUIRE(run.sweeps.size() == 1);
    CHECK(run.sweeps[0].count == outcomes[0].taken.sweep.count);
    CHECK(run.sweeps[0].front_mm == outcomes[0].taken.sweep.front_mm);
}

TEST_CASE("a sweep that falls short stands, marked in a file beside it, and the lobe stays in turn",
          "[rig][session]") {
    Walk walk({"1E", "1I"});
    walk.session.go();
    walk.turn(up_to(whole_turn(), 200.0));
    walk.session.stop();
    walk.pass_notes();
    CHECK(text_of(walk.made.run / "sweeps/1E-1.txt") == "gap 200 to 355 deg\n");
    CHECK(walk.session.place().name == "1E");
    CHECK(walk.session.pass() == 2);
    SweepStore again(walk.made.run);
    REQUIRE(again.sweeps_of("1E").size() == 1);
    CHECK(again.sweeps_of("1E")[0].marks == std::vector<std::string>{"gap 200 to 355 deg"});
}

TEST_CASE("undo moves the last sweep aside with its marks and deletes nothing", "[rig][session]") {
    Walk walk({"1E", "1I"});
    walk.session.go();
    walk.turn(up_to(whole_turn(), 200.0));
    walk.session.stop();
    walk.pass_notes();
    const std::string csv = text_of(walk.made.run / "sweeps/1E-1.csv");
    walk.session.undo();
    CHECK_FALSE(walk.has("sweeps/1E-1.csv"));
    CHECK_FALSE(walk.has("sweeps/1E-1.txt"));
    CHECK(text_of(walk.made.run / "aside/1E-1.csv") == csv);
    CHECK(walk.has("aside/1E-1.txt"));
    CHECK(walk.session.pass() == 1);
    walk.session.undo();  // nothing is left to undo
    walk.session.go();
    walk.turn(up_to(whole_turn(), 100.0));
    walk.session.stop();
    walk.pass_notes();
    walk.session.undo();
    CHECK(walk.has("aside/1E-1.2.csv"));
}

TEST_CASE("repeat while turning puts what there is aside and begins the same pass again", "[rig][session]") {
    Walk walk({"1E"});
    walk.session.go();
    walk.turn(up_to(whole_turn(), 150.0));
    walk.session.repeat();
    walk.turn(whole_turn());
    CHECK(walk.has("aside/1E-1.csv"));
    CHECK(walk.has("sweeps/1E-1.csv"));
    CHECK_FALSE(walk.has("sweeps/1E-1.txt"));
    CHECK(walk.session.all_done());
}

TEST_CASE("too little to stand in a run goes aside, nothing at all stays in the capture", "[rig][session]") {
    Walk walk({"1E"});
    walk.session.go();
    walk.turn(up_to(whole_turn(), -5.0 + 15.0));  // a degree or so behind the mark
    std::vector<RigEvent> few = whole_turn();
    walk.session.repeat();
    walk.pass_notes();
    few.resize(5);
    walk.session.stop();
    walk.turn(few);
    CHECK(read_run(walk.made.run).sweeps.empty());
}

TEST_CASE(
    "skip keeps what is in hand and goes on; back goes back; a resumed walk begins at the first open lobe",
    "[rig][session]") {
    Walk walk({"1E", "1I", "2I"});
    walk.session.skip();
    CHECK(walk.session.place().name == "1I");
    walk.session.back();
    CHECK(walk.session.place().name == "1E");
    walk.session.go();
    walk.turn(up_to(whole_turn(), 200.0));
    walk.session.skip();
    walk.pass_notes();
    CHECK(walk.has("sweeps/1E-1.txt"));
    CHECK(walk.session.place().name == "1I");
    walk.session.go();
    walk.turn(whole_turn());
    walk.session.quit();
    walk.pass_notes();
    CHECK(walk.session.over());
    SweepStore store(walk.made.run);
    const SweepSession resumed(store, bench_order(store.run(), {"1E", "1I", "2I"}), bench_plan(),
                               [](const SessionNote&) {});
    CHECK(resumed.place().name == "1E");
    CHECK(resumed.pass() == 2);
}

TEST_CASE("quit keeps the sweep in hand", "[rig][session]") {
    Walk walk({"1E"});
    walk.session.go();
    walk.turn(up_to(whole_turn(), 300.0));
    walk.session.quit();
    CHECK_FALSE(walk.session.over());
    walk.pass_notes();
    CHECK(walk.session.over());
    CHECK(walk.has("sweeps/1E-1.csv"));
    CHECK(walk.has("sweeps/1E-1.txt"));
}

TEST_CASE("a slip seen by the mark after a sweep marks that sweep late", "[rig][session]") {
    Walk walk({"1E", "1I"});
    walk.session.go();
    auto events = events_of(bench_sweep(bench_hand(-5.0, 2.5)));
    const std::size_t slip_at = at_deg(events, 368.0);  // after the last mark that the sweep saw
    for (std::size_t i = slip_at; i < events.size(); ++i) {
        if (auto* reading = std::get_if<RigReading>(&events[i])) reading->count += 5;
        if (auto* mark = std::get_if<RigIndex>(&events[i])) mark->count += 5;
    }
    walk.turn(events);
    CHECK(text_of(walk.made.run / "sweeps/1E-1.txt") ==
          "index off by 5 counts at the mark after it was taken\n");
    const auto news = walk.session.news();
    REQUIRE(news.size() == 1);
    CHECK(news[0] == "1E pass 1: index off by 5 counts at the mark after it was taken; sweep it again");
}

TEST_CASE("the same events and notes in the same order give the same sweeps", "[rig][session]") {
    Walk walk({"1E", "1I"});
    walk.session.go();
    walk.turn(up_to(whole_turn(30.0), 390.0));
    walk.session.stop();
    walk.turn(whole_turn());
    walk.session.go();
    walk.turn(whole_turn());
    Bench bench;
    for (const SessionItem& item : walk.recorded) {
        if (const auto* note = std::get_if<SessionNote>(&item)) {
            const auto read_back = parse_session_note(print_session_note(*note));
            REQUIRE(read_back);
            bench.take(*read_back);
        } else {
            bench.take(std::get<RigEvent>(item));
        }
    }
    const auto live = walk.session.outcomes();
    const auto replayed = bench.taken();
    REQUIRE(live.size() == 2);
    REQUIRE(replayed.size() == 2);
    for (std::size_t i = 0; i < live.size(); ++i) {
        CHECK(text_of(live[i].file) ==
              sweep_file_text(replayed[i].sweep, replayed[i].plan.units, replayed[i].plan.resolution_mm));
        CHECK(live[i].taken.marks == replayed[i].marks);
    }
}

TEST_CASE("a power cut's half-written file is taken away at the next start", "[rig][session]") {
    const EmptyRun made;
    std::ofstream(made.run / "sweeps/.1E-1.csv.part") << "# lobewright-sweep/1\n# of: 1";
    const SweepStore store(made.run);
    CHECK(store.sweeps().empty());
    CHECK(fs::is_empty(made.run / "sweeps"));
}

TEST_CASE("notes are read back as they were written, and others are left alone", "[rig][session]") {
    SweepPlan plan = bench_plan();
    plan.of = "3 \"E\\";
    plan.units = Units::in;
    plan.direction = -1;
    plan.zero_deg = 12.5;
    plan.most_deg_per_s = 28.8;
    plan.resolution_mm.reset();
    const auto note = parse_session_note(print_session_note({SessionDoes::begins, plan}));
    REQUIRE(note);
    CHECK(note->plan.of == plan.of);
    CHECK(note->plan.units == Units::in);
    CHECK(note->plan.direction == -1);
    CHECK(note->plan.zero_deg == 12.5);
    CHECK(note->plan.most_deg_per_s == 28.8);
    CHECK_FALSE(note->plan.resolution_mm);
    CHECK_FALSE(parse_session_note("event = \"unplugged\"\n"));
    CHECK_FALSE(parse_session_note("not toml ["));
    CHECK_THROWS_AS(parse_session_note("sweep = \"begins\"\n"), DataError);
    CHECK_THROWS_AS(parse_session_note("sweep = \"flies\"\n"), DataError);
}

TEST_CASE("the motor is kept turning each tenth of a second and never started twice by one word",
          "[rig][session]") {
    std::vector<std::string> sent;
    TurnGuard guard({.turn = [&](std::int64_t, std::int64_t) { sent.emplace_back("turn"); },
                     .keep = [&] { sent.emplace_back("keep"); },
                     .halt = [&] { sent.emplace_back("halt"); }});
    guard.tick(0);
    CHECK(sent.empty());
    guard.start(14400, 400, 1'000'000);
    guard.tick(1'050'000);
    guard.tick(1'100'000);
    guard.tick(1'199'000);
    guard.tick(1'205'000);
    CHECK(sent == std::vector<std::string>{"turn", "keep", "keep", "keep"});
    CHECK(guard.next_us() == 1'305'000);
    guard.tick(1'505'000);  // held up for as long as the motor's own guard waits
    CHECK_FALSE(guard.running());
    CHECK(sent.back() == "halt");
    guard.tick(1'600'000);
    CHECK(sent.size() == 5);
}
