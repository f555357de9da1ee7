// `lobewright rig-check` as it is shipped: on a capture whose faults are known, and on a controller at the end of a
// pseudo-terminal.
#include <cmath>
#include <filesystem>

#include <catch2/catch.hpp>

#include "rig/capture/capture_recorder.hpp"
#include "rig/check/check_guide.hpp"
#include "tests/cli/json_answer.hpp"
#include "tests/cli/program.hpp"
#include "tests/cli/pty_program.hpp"
#include "tests/cli/pty_rig.hpp"
#include "tests/cli/refusals.hpp"
#include "tests/rig/check_events.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

/// What a controller would have sent for these events: written from the protocol's text alone.
std::string lines_of(const std::vector<RigEvent>& events) {
    std::string text;
    unsigned seq = 0;
    const auto steps = [](const std::optional<double>& mm) {
        return mm ? fmt::format("{}", std::lround(*mm / 0.0005)) : "-";
    };
    for (const RigEvent& event : events) {
        if (const auto* back = std::get_if<RigBack>(&event))
            text += checked(fmt::format("H,1,{},{},500,-", back->name, back->counts_per_rev));
        if (const auto* reading = std::get_if<RigReading>(&event))
            text += checked(fmt::format("S,{},{},{},{},{}", ++seq, reading->t_us, reading->count,
                                        steps(reading->front_mm), steps(reading->rear_mm)));
        if (const auto* mark = std::get_if<RigIndex>(&event))
            text += checked(fmt::format("X,{},{},{}", ++seq, mark->t_us, mark->count));
    }
    return text;
}

void write_capture(const std::string& file, const std::string& bytes) {
    CaptureRecorder recorder(file, controller_on("/dev/ttyTEST"));
    constexpr std::size_t chunk = 1000;
    for (std::size_t at = 0; at < bytes.size(); at += chunk)
        recorder.record(static_cast<std::int64_t>(at), "controller", bytes.substr(at, chunk));
    REQUIRE(recorder.sync());
}

Json row_of(const Json& answer, const std::string& key) {
    for (const Json& row : answer["rows"])
        if (row["key"] == key) return row;
    FAIL("no row " << key);
    return {};
}

}  // namespace

TEST_CASE("a good rig's capture passes, in a table and in JSON", "[cli][rig-check]") {
    const TempFolder folder;
    write_capture(folder / "good.cap", lines_of(proving({})));
    const Finished screen = run_program({"rig-check", "--capture", folder / "good.cap"});
    INFO(screen.out << screen.err);
    CHECK(screen.status == 0);
    CHECK(screen.err.empty());
    CHECK(screen.out.rfind("RIG PASSES\n", 0) == 0);
    CHECK(has(screen.out, "\ncounts_per_rev = 14400\ndirection      = 1\nresolution     = 0.0005"));
    CHECK_FALSE(has(screen.out, "\nNext\n"));
    CHECK(longest_line(screen.out) <= 80);
    const Json answer = json_of({"rig-check", "--capture", folder / "good.cap", "--json", "--units", "in"});
    CHECK(keys_of(answer) == std::vector<std::string>{"format", "units", "verdict", "name", "readings",
                                                      "index_marks", "turns", "rows", "rig", "notes"});
    CHECK(answer["format"] == "lobewright-rig-check/1");
    CHECK(answer["verdict"] == "pass");
    CHECK(answer["rig"]["resolution"].get<double>() == Approx(0.0005 / 25.4));
    CHECK(row_of(answer, "front_noise")["unit"] == "in");
}

TEST_CASE("faults in the bytes come out as rows to look at, with their figures", "[cli][rig-check]") {
    const TempFolder folder;
    CheckBench bench;
    bench.hysteresis_mm = 0.010;
    std::string bytes = lines_of(proving(bench));
    const std::size_t hit = bytes.find("\nS,900,");
    bytes[hit + 5] = '7';  // a bit error: the check sum tells
    write_capture(folder / "bad.cap", bytes);
    const Finished found = run_program({"rig-check", "--capture", folder / "bad.cap", "--json"});
    INFO(found.out << found.err);
    CHECK(found.status == 1);
    const Json answer = Json::parse(found.out);
    CHECK(answer["verdict"] == "look");
    CHECK(row_of(answer, "index")["found"]["value"] == 0.0);
    CHECK(row_of(answer, "lines_lost")["verdict"] == "look");
    CHECK(row_of(answer, "front_hysteresis")["found"]["value"].get<double>() == Approx(0.010).margin(0.001));
    CHECK(has(run_program({"rig-check", "--capture", folder / "bad.cap"}).out, "LOOK AT THE RIG: "));
    CheckBench slipping;
    slipping.slip_counts = 25;
    slipping.slip_at_deg = 700.0;
    write_capture(folder / "slip.cap", lines_of(proving(slipping)));
    const Finished slipped = run_program({"rig-check", "--capture", folder / "slip.cap", "--json"});
    CHECK(slipped.status == 1);
    CHECK(row_of(Json::parse(slipped.out), "index")["found"]["value"] == 25.0);
}

TEST_CASE("a connected controller is led through the check", "[cli][rig-check]") {
    const TempFolder folder;
    PtyRig rig;
    PtyProgram program({"rig-check", "--port", rig.port(), "--record", folder / "proof.cap"});
    REQUIRE(program.shows("Turn the cam two turns in its running direction"));
    REQUIRE(comes_true([&] { return rig.streams(); }));
    rig.turn_to(800.0);
    REQUIRE(program.shows("Go on the same way"));
    rig.turn_to(1600.0);
    REQUIRE(program.shows("Now two turns back"));
    rig.turn_to(790.0);
    REQUIRE(program.shows("Done."));
    // One speed only, and no mark on the way back: lag, play and the mark's width can't be told.
    CHECK(program.ends() == 2);
    CHECK(has(program.shown(), "CAN'T TELL YET: "));
    CHECK(has(program.shown(), "counts_per_rev = 14400"));
    const Finished again = run_program({"rig-check", "--capture", folder / "proof.cap"});
    CHECK(again.status == 2);
    CHECK(has(again.out, "bench: 14400 counts a turn"));
}

TEST_CASE("Ctrl-C ends the check with what was seen", "[cli][rig-check]") {
    PtyRig rig;
    PtyProgram program({"rig-check", "--port", rig.port()});
    REQUIRE(program.shows("Turn the cam"));
    program.signal(SIGINT);
    CHECK(program.shows("Ended early"));
    CHECK(program.ends() == 1);  // neither indicator gave a reading
}

TEST_CASE("rig-check refuses in one line what makes no sense", "[cli][rig-check]") {
    const TempFolder folder;
    check_refusals({
        {"no rig", {"rig-check"}, 64, "say where the rig is"},
        {"two rigs", {"rig-check", "--port", "a", "--rig", "b"}, 64, "exclude each other"},
        {"rig and capture", {"rig-check", "--port", "a", "--capture", "b"}, 64, "leave --port and --rig out"},
        {"capture of a capture", {"rig-check", "--capture", "a", "--record", "b"}, 64, "has them already"},
        {"damage of no capture", {"rig-check", "--port", "a", "--past-damage"}, 64, "goes with --capture"},
        {"no such capture", {"rig-check", "--capture", folder / "none.cap"}, 66, "none.cap"},
        {"no such port", {"rig-check", "--port", folder / "none"}, 69, "none"},
    });
}

TEST_CASE("the guide counts whole turns from where the hand was furthest back", "[rig][check]") {
    CheckGuide guide(1000, true);
    const auto go = [&](std::int64_t from, std::int64_t to) {
        const std::int64_t way = to > from ? 1 : -1;
        for (std::int64_t count = from; count != to; count += way)
            guide.take(RigReading{0, count, {}, {}, 0.0});
    };
    guide.take(RigBack{0, "bench", 1000, {}, false});
    CHECK(guide.step() == CheckStep::rest);
    guide.take(RigReading{1'000'000, 7, {}, {}, 0.0});
    guide.take(RigReading{6'000'000, 9, {}, {}, 0.0});
    CHECK(guide.share() == Approx(0.5));
    guide.take(RigReading{7'000'000, 10, {}, {}, 0.0});  // moved: the ten seconds begin again
    CHECK(guide.share() == 0.0);
    guide.take(RigReading{17'000'000, 10, {}, {}, 0.0});
    CHECK(guide.step() == CheckStep::slow);
    go(0, -50);
    go(-50, 2049);
    CHECK(guide.step() == CheckStep::slow);
    go(2049, 2051);
    CHECK(guide.step() == CheckStep::fast);
    go(2051, 3000);
    guide.take(RigBack{0, "bench", 1000, {}, false});  // counts are void: this step again
    CHECK(guide.share() == 0.0);
    go(0, 2102);
    CHECK(guide.step() == CheckStep::back);
    go(2102, 0);
    CHECK(guide.step() == CheckStep::done);
    CHECK(guide.share() == 1.0);
}
