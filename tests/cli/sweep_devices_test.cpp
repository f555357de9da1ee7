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
    REQUIRE(program.shows("Enter when set"));
    program.press("\n");
    REQUIRE(program.shows("Turn the cam in its running direction"));
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
    const auto front = shown_by(rig, "front"), rear = shown_by(rig, "rear");
    std::size_t on_the_flank = 0, wrong = 0, close = 0;
    for (std::size_t i = 0; i < sweep.rows(); ++i) {
        on_the_flank += sweep.front_mm[i] > 0.1 ? 1 : 0;
        const bool both = front_is_true(front, sweep.count[i], sweep.front_mm[i], place_off + held_up) &&
                          rear_is_true(rear, sweep.count[i], sweep.rear_mm[i]);
        wrong += both ? 0 : 1;
        close += front_is_true(front, sweep.count[i], sweep.front_mm[i], place_off) ? 1 : 0;
    }
    CHECK(wrong == 0);
    CHECK(2 * close > sweep.rows());
    CHECK(on_the_flank > (fault.empty() ? 30U : 15U));
    const std::string remade = rig.run() + "/remade.csv";
    std::string capture;
    for (const auto& entry : std::filesystem::directory_iterator(rig.run() + "/captures"))
        capture = entry.path().string();
    CHECK(run_program({"replay", capture, "--to", remade}).status == 0);
    CHECK(text_of(remade) == text_of(sweep.file));
}
