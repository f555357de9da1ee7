#include <cmath>
#include <numbers>
#include <random>

#include <catch2/catch.hpp>

#include "rig/capture/capture_recorder.hpp"
#include "rig/check/check_guide.hpp"
#include "rig/check/check_rows.hpp"
#include "tests/cli/json_answer.hpp"
#include "tests/cli/program.hpp"
#include "tests/rig/rig_lines.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

/// A bench whose faults are known, turned as told.
struct KnownBench {
    static constexpr std::int64_t counts_per_rev = 7200;
    double latency_s = 0.0, backlash_deg = 0.0, hysteresis_mm = 0.0, noise_mm = 0.0, drift_mm_per_turn = 0.0;
    int slip_a_turn = 0;
    bool rear_stuck = false;
    std::vector<RigEvent> events{RigBack{0, "bench", counts_per_rev, 0.0005, false}};

    /// Turns `turns` (negative: back) at `deg_per_s`.
    void turn(double turns, double deg_per_s) {
        const double way = turns < 0.0 ? -1.0 : 1.0;
        const std::int64_t end = at_ + std::llround(turns * counts_per_rev);
        const double us_per_count = 1e6 * 360.0 / counts_per_rev / deg_per_s;
        for (; at_ != end; at_ += static_cast<std::int64_t>(way)) {
            t_us_ += us_per_count;
            if (at_ % counts_per_rev == 0) {
                slipped_ += slip_a_turn * static_cast<int>(way);
                events.push_back(RigIndex{std::llround(t_us_), at_ - slipped_});
            }
            if (at_ % 4 != 0) continue;
            const double deg = 360.0 * static_cast<double>(at_) / counts_per_rev -
                               way * (latency_s * deg_per_s + backlash_deg / 2.0);
            const double turned = std::abs(static_cast<double>(at_)) / counts_per_rev;
            read(lift(deg) + way * hysteresis_mm / 2.0 + turned * drift_mm_per_turn);
        }
    }
    void rest(int readings) {
        for (int i = 0; i < readings; ++i) {
            t_us_ += 10'000.0;
            read(lift(360.0 * static_cast<double>(at_) / counts_per_rev));
        }
    }

private:
    static double lift(double deg) {
        const double c = std::cos(deg * std::numbers::pi / 180.0);
        return 3.0 * c + 0.8 * c * c;
    }
    void read(double mm) {
        events.push_back(RigReading{std::llround(t_us_), at_ - slipped_, mm + noise_mm * normal_(random_),
                                    rear_stuck ? 1.0 : mm, 0.0});
    }
    std::int64_t at_ = 10;
    int slipped_ = 0;
    double t_us_ = 0.0;
    std::mt19937_64 random_{5};
    std::normal_distribution<double> normal_;
};

void turn_as_guided(KnownBench& bench) {
    bench.rest(300);
    bench.turn(2.2, 20.0);
    bench.turn(-2.2, 20.0);
    bench.turn(2.2, 60.0);
    bench.turn(-2.2, 60.0);
}

const CheckRow& row_of(const std::vector<CheckRow>& rows, const std::string& what) {
    for (const CheckRow& row : rows) {
        if (row.what == what) return row;
    }
    throw std::runtime_error("no row " + what);
}

}  // namespace

TEST_CASE("a sound rig passes every check", "[rig][check]") {
    KnownBench bench;
    turn_as_guided(bench);
    const RigFigures figures = rig_figures(bench.events);
    CHECK(figures.turns == Approx(8.8).margin(0.05));
    CHECK(figures.index_off.size() == 4);
    for (const CheckRow& row : check_rows(figures)) {
        INFO(row.what << ": " << row.found << " " << row.advice);
        CHECK(row.verdict == CheckVerdict::pass);
    }
    CHECK(rig_lines_for_run(figures) == "counts_per_rev = 7200\nresolution     = 0.0005  # mm\n");
}

TEST_CASE("latency, backlash and hysteresis come out as they went in", "[rig][check]") {
    KnownBench bench;
    bench.latency_s = 0.004;
    bench.backlash_deg = 0.12;
    bench.hysteresis_mm = 0.005;
    turn_as_guided(bench);
    const RigFigures figures = rig_figures(bench.events);
    REQUIRE(figures.front.latency_us);
    CHECK(*figures.front.latency_us == Approx(4000.0).epsilon(0.02));
    CHECK(*figures.front.backlash_deg == Approx(0.12).epsilon(0.02));
    CHECK(*figures.front.hysteresis_mm == Approx(0.005).epsilon(0.02));
    const std::vector<CheckRow> rows = check_rows(figures);
    CHECK(row_of(rows, "front backlash").verdict == CheckVerdict::look);
    CHECK(row_of(rows, "front hysteresis").verdict == CheckVerdict::look);
}

TEST_CASE("noise, drift, slipped counts, a stuck indicator and lost lines are each named", "[rig][check]") {
    KnownBench bench;
    bench.noise_mm = 0.002;
    bench.drift_mm_per_turn = 0.004;
    bench.slip_a_turn = 3;
    bench.rear_stuck = true;
    turn_as_guided(bench);
    bench.events.emplace_back(RigTrouble{0, TroubleKind::lines_lost, 12, ""});
    const RigFigures figures = rig_figures(bench.events);
    CHECK(*figures.front.noise_mm == Approx(0.002).epsilon(0.1));
    CHECK(std::abs(*figures.front.drift_mm) == Approx(0.004).epsilon(0.1));
    for (const std::int64_t off : figures.index_off) CHECK(off == -3);
    const std::vector<CheckRow> rows = check_rows(figures);
    for (const char* const what : {"front noise at rest", "front drift", "counts between index marks",
                                   "rear moves", "lines lost or damaged"}) {
        INFO(what);
        CHECK(row_of(rows, what).verdict == CheckVerdict::look);
    }
}

TEST_CASE("what wasn't turned isn't known", "[rig][check]") {
    KnownBench bench;
    bench.turn(0.9, 20.0);
    const std::vector<CheckRow> rows = check_rows(rig_figures(bench.events));
    for (const char* const what :
         {"front drift", "front hysteresis", "front latency", "counts between index marks"}) {
        INFO(what);
        CHECK(row_of(rows, what).verdict == CheckVerdict::unknown);
    }
}

TEST_CASE("a step of the check is done when it was done", "[rig][check]") {
    StepProgress turning(check_steps()[1], 7200);
    turning.take(RigReading{0, 100, 0.0, 0.0, 0.0});
    turning.take(RigReading{0, 100 + 7920, 0.0, 0.0, 0.0});
    CHECK(turning.done() == Approx(0.5));
    StepProgress resting(check_steps()[0], 7200);
    resting.take(RigReading{0, 100, 0.0, 0.0, 0.0});
    resting.take(RigIdle{2'000'000, 101});  // touched: the rest begins anew
    resting.take(RigIdle{3'500'000, 101});
    CHECK(resting.done() == Approx(0.5));
}

TEST_CASE("rig-check of a capture shows a table, or one JSON object", "[cli][rig][check]") {
    const TempFolder folder;
    const std::string file = folder / "check.cap";
    {
        CaptureRecorder recorder(file, controller_on("/dev/ttyUSB0"));
        std::string bytes = rig_line("H,1,bench,360,1000,-");
        for (int i = 0; i <= 800; ++i)
            bytes += rig_line(
                fmt::format("S,{},{},{},{},{}", i, i * 20'000, i, std::abs(i % 360 - 180), i % 360 / 2));
        recorder.record(1, "controller", bytes);
    }
    const Finished table = run_program({"rig-check", "--capture", file});
    INFO(table.out << table.err);
    CHECK(table.status == 2);
    CHECK(has(table.out, "2.2 turns, 360 counts a turn"));
    CHECK(has(table.out, "counts_per_rev = 360\nresolution     = 0.001  # mm\n"));
    CHECK(longest_line(table.out) <= 80);
    const Finished json = run_program({"rig-check", "--capture", file, "--json"});
    CHECK(Json::parse(json.out)["counts_per_rev"] == 360);
    CHECK(run_program({"rig-check"}).status == 64);
    CHECK(run_program({"rig-check", "--port", "/dev/no-such-port"}).status == 69);
    CHECK(run_program({"rig-check", "--capture", folder / "none.cap"}).status == 66);
}
