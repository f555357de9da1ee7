// Stand-alone devices of `lobewright virtual-rig`, streaming and asked, swept through the shipped `sweep`: every row must be
// what the indicators truly showed where the cam truly was.
#include <algorithm>
#include <cmath>
#include <cstdlib>

#include <catch2/catch.hpp>

#include "analysis/run/run_folder.hpp"
#include "tests/cli/virtual_bench.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

constexpr double step_mm = 0.0005;
constexpr std::int64_t counts_per_deg = 20;
/// Five times the doubt about a reading's place that `sweep` allows (0.05 deg).
constexpr std::int64_t place_off = counts_per_deg / 4;
/// What the cam turns in 200 ms at 6 deg/s, for which a busy computer may hold up the one or the other program.
constexpr std::int64_t held_up = 24;
/// And between two readings of an indicator, 50 ms: the rear's are interpolated.
constexpr std::int64_t between = 6;

struct Shown {
    std::int64_t place = 0;
    double steps = 0.0;
};

std::vector<Shown> shown_by(const VirtualBench& rig, const std::string& indicator) {
    std::vector<Shown> all;
    for (const auto& line : rig.truth(indicator))
        if (line.at(4) != "-") all.push_back({std::stoll(line.at(3)), std::stod(line.at(4))});
    return all;
}

bool front_is_true(const std::vector<Shown>& front, std::int64_t count, double mm, std::int64_t off) {
    return std::any_of(front.begin(), front.end(), [&](const Shown& shown) {
        return std::llabs(shown.place - count) <= off && std::fabs(shown.steps - mm / step_mm) < 0.1;
    });
}

bool rear_is_true(const std::vector<Shown>& rear, std::int64_t count, double mm) {
    double least = 1e9, most = -1e9;
    for (const Shown& shown : rear) {
        if (std::llabs(shown.place - count) > place_off + held_up + between) continue;
        least = std::min(least, shown.steps);
        most = std::max(most, shown.steps);
    }
    return mm / step_mm >= least - 1.0 && mm / step_mm <= most + 1.0;
}

/// Rows against the virtual rig's truth.
struct Checked {
    std::size_t on_the_flank = 0, wrong = 0, close = 0;
};

Checked checked(const VirtualBench& rig, const Sweep& sweep) {
    const auto front = shown_by(rig, "front"), rear = shown_by(rig, "rear");
    Checked all;
    for (std::size_t i = 0; i < sweep.rows(); ++i) {
        all.on_the_flank += sweep.front_mm[i] > 0.1 ? 1 : 0;
        const bool both = front_is_true(front, sweep.count[i], sweep.front_mm[i], place_off + held_up) &&
                          rear_is_true(rear, sweep.count[i], sweep.rear_mm[i]);
        all.wrong += both ? 0 : 1;
        all.close += front_is_true(front, sweep.count[i], sweep.front_mm[i], place_off) ? 1 : 0;
    }
    return all;
}

/// What `replay` makes of the run's only capture.
std::string remade(const VirtualBench& rig) {
    const std::string file = rig.run() + "/remade.csv";
    const std::filesystem::directory_iterator captures(rig.run() + "/captures");
    CHECK(run_program({"replay", captures->path().string(), "--to", file}).status == 0);
    return text_of(file);
}

void begin_sweep(PtyProgram& program) {
    REQUIRE(program.shows("Enter when set"));
    program.press("\n");
    REQUIRE(program.shows("Turn the cam in its running direction"));
}

}  // namespace

TEST_CASE("stand-alone devices are swept: each row is what they showed where the cam was",
          "[cli][sweep][devices]") {
    const auto [asked, fault, named] = GENERATE(table<bool, std::string, std::string>({
        {false, "", ""},
        {true, "", ""},
        {false, "range-front@75deg+4deg", "damaged"},
        {true, "lost-bytes:0.01", "damaged"},
        {true, "unplug:0.5@80deg", "unplugged"},
    }));
    INFO((asked ? "asked " : "streaming ") << fault);
    std::vector<std::string> options{"--devices", "DEVICES", "--still", "--start", "-5"};
    if (asked) options.emplace_back("--polled");
    if (!fault.empty()) options.insert(options.end(), {"--fault", fault});
    VirtualBench rig(options);
    PtyProgram program(rig.sweep_words({"--rig", rig.devices() + "/rig.toml"}), "dumb");
    begin_sweep(program);
    rig.order("turn 60 30\nturn 30 6\n");  // quickly to the flank, slowly up it
    CHECK(rig.place_deg(1) == Approx(85.0).margin(0.5));
    program.press("e");
    REQUIRE(program.shows("FALLS SHORT"));
    program.press("q");
    CHECK(program.ends() == 2);
    CHECK(has(program.shown(), named));

    const Run run = read_run(rig.run());
    REQUIRE(run.sweeps.size() == 1);
    const Sweep& sweep = run.sweeps.front();
    const Checked rows = checked(rig, sweep);
    CHECK(rows.wrong == 0);
    CHECK(2 * rows.close > sweep.rows());
    CHECK(rows.on_the_flank > (fault.empty() ? 30U : 15U));
    CHECK(remade(rig) == text_of(sweep.file));
}

// Two sanitized programs can't keep up with the wall's clock, which is what joins the readings.
#ifndef __SANITIZE_ADDRESS__
TEST_CASE("stand-alone devices are swept through a whole turn, which ends by itself",
          "[cli][sweep][devices]") {
    VirtualBench rig({"--devices", "DEVICES", "--still", "--start", "-5"});
    PtyProgram program(rig.sweep_words({"--rig", rig.devices() + "/rig.toml"}), "dumb");
    begin_sweep(program);
    // More slowly than the counter's lines can be timed; where a busy computer misses a stretch, round and over it again.
    const auto whole = [&program] { return has(program.shown(), "pass 1 is whole"); };
    double turned_deg = 0.0;
    for (; turned_deg < 1200.0 && !whole(); turned_deg += 40.0) {
        rig.order("turn 40 5\n");
        CHECK(rig.place_deg() == Approx(turned_deg + 35.0).margin(0.5));
    }
    REQUIRE(whole());
    program.press("q");
    CHECK(program.ends() == 0);

    const Run run = read_run(rig.run());
    REQUIRE(run.sweeps.size() == 1);
    const Sweep& sweep = run.sweeps.front();
    CHECK(sweep.count.back() - sweep.count.front() >= 365 * counts_per_deg);
    const Checked rows = checked(rig, sweep);
    CHECK(rows.wrong == 0);
    CHECK(2 * rows.close > sweep.rows());
    CHECK(rows.on_the_flank > 300);
    CHECK(remade(rig) == text_of(sweep.file));
    const Finished inspected = run_program({"inspect", rig.run()});
    CHECK(inspected.status == 2);  // without a datum there is no taper
    CHECK(inspected.err.empty());
}
#endif
