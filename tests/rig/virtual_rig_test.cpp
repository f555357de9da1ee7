// The virtual rig without any port: bytes in, bytes out, on its own clock; held against its truth and the cam model.
#include <algorithm>
#include <string>
#include <vector>

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/units.hpp"
#include "rig/acquisition/latched_decoder.hpp"
#include "rig/virtual/virtual_controller.hpp"
#include "rig/virtual/virtual_devices.hpp"
#include "tests/cli/pty_rig.hpp"

using namespace lobewright;
using namespace lobewright::tests;
using namespace lobewright::virtual_rig;

namespace {

BenchSetup bench(const std::vector<std::string>& faults = {}) {
    BenchSetup setup;
    setup.sample = sample_run("launch-4-new");
    setup.place = "1E";
    setup.hand_deg_per_s = 90.0;
    for (const std::string& fault : faults) setup.faults.push_back(parse_fault(fault));
    return setup;
}

/// A virtual controller with the host's decoder at its end.
struct Bench {
    std::vector<std::string> truth;
    VirtualController rig;
    std::vector<RigEvent> events;
    LatchedDecoder decoder{[this](const RigEvent& event) { events.push_back(event); }};
    std::string bytes;

    explicit Bench(const BenchSetup& setup, ControllerOptions options = {})
        : rig(setup, std::move(options), [this](std::string_view line) { truth.emplace_back(line); }) {}

    void start() {
        for (const char* order : {"hello", "every,20", "start"}) rig.receive(checked(order));
    }
    void go_on(double seconds) {
        for (int i = 0; i < static_cast<int>(1000.0 * seconds); ++i) {
            rig.advance(VirtualBench::tick_us);
            const std::string more = rig.take();
            bytes += more;
            decoder.bytes(rig.bench().now_us(), more);
        }
    }
    template <class Event>
    [[nodiscard]] std::vector<Event> all() const {
        std::vector<Event> out;
        for (const RigEvent& event : events)
            if (const auto* found = std::get_if<Event>(&event)) out.push_back(*found);
        return out;
    }
    [[nodiscard]] std::size_t troubles(TroubleKind kind) const {
        const auto list = all<RigTrouble>();
        return static_cast<std::size_t>(
            std::count_if(list.begin(), list.end(), [&](const RigTrouble& t) { return t.kind == kind; }));
    }
    [[nodiscard]] std::size_t truths(const std::string& kind) const {
        return static_cast<std::size_t>(
            std::count_if(truth.begin(), truth.end(),
                          [&](const std::string& line) { return line.rfind(kind + ",", 0) == 0; }));
    }
};

}  // namespace

TEST_CASE("virtual rig: what the host decodes is what was latched, and the cam's own shape", "[virtual]") {
    Bench bench_(bench());
    bench_.start();
    bench_.go_on(9.0);
    const auto readings = bench_.all<RigReading>();
    const auto marks = bench_.all<RigIndex>();
    REQUIRE(marks.size() >= 2);
    CHECK(marks[1].count - marks[0].count == 7200);
    CHECK(bench_.all<RigTrouble>().empty());
    REQUIRE(readings.size() == bench_.truths("latch"));
    CHECK(readings.size() > 700);
    const SampleRun sample = sample_run("launch-4-new");
    const Station station(sample.cam, sample.rig, "1E");
    // The indicators' own error, five standard deviations of noise, half a step.
    const double limit_mm = *sample.rig.info.error_limit_mm + 5.0 * sample.rig.noise_mm + 0.00026;
    for (const RigReading& reading : readings) {
        const double rad = rad_from_deg(static_cast<double>(reading.count - marks[0].count) / 20.0);
        const Edges ideal = station.readings(rad);
        REQUIRE(std::fabs(*reading.front_mm - ideal.front - sample.rig.zero_mm.front) < limit_mm);
        REQUIRE(std::fabs(*reading.rear_mm - ideal.rear - sample.rig.zero_mm.rear) < limit_mm);
    }
}

TEST_CASE("virtual rig: the same seed sends the same bytes", "[virtual]") {
    std::vector<std::string> sent;
    for (const std::uint64_t seed : {5U, 5U, 6U}) {
        BenchSetup setup = bench({"bit-errors:0.001", "lost-bytes:0.001"});
        setup.seed = seed;
        Bench bench_(setup);
        bench_.start();
        bench_.go_on(3.0);
        sent.push_back(bench_.bytes);
    }
    CHECK(sent[0] == sent[1]);
    CHECK(sent[0] != sent[2]);
    CHECK(sent[0].size() > 5000);
}

TEST_CASE("virtual rig: noise on the wire is found by the host, and no reading is made up", "[virtual]") {
    for (const char* fault : {"bit-errors:0.001", "lost-bytes:0.002", "doubled-bytes:0.002",
                              "split-lines:0.05", "glued-lines:0.05", "garbage:100@60deg"}) {
        INFO(fault);
        Bench bench_(bench({fault}));
        bench_.start();
        for (int i = 0; i < 20 && bench_.all<RigBack>().empty(); ++i) {  // an order or its answer may be hit
            bench_.go_on(0.05);
            bench_.start();
        }
        bench_.go_on(8.0);
        std::vector<std::string> latched;
        for (const std::string& line : bench_.truth)
            if (line.rfind("latch,", 0) == 0) latched.push_back(line);
        for (const RigReading& reading : bench_.all<RigReading>()) {
            const auto steps = [](const std::optional<double>& mm) { return std::lround(*mm / 0.0005); };
            const std::string tail =
                fmt::format(",{},{},{},true", reading.count, steps(reading.front_mm), steps(reading.rear_mm));
            const bool true_one = std::any_of(latched.begin(), latched.end(), [&](const std::string& line) {
                return line.size() > tail.size() &&
                       line.compare(line.size() - tail.size(), tail.size(), tail) == 0;
            });
            REQUIRE(true_one);
        }
        const bool gluing = std::string(fault).rfind("glued", 0) == 0;
        CHECK(bench_.troubles(TroubleKind::line_damaged) > 0);
        if (!gluing) CHECK(bench_.all<RigReading>().size() > 500);
    }
}

TEST_CASE("virtual rig: a slip shows between two index marks", "[virtual]") {
    for (const int counts : {3, -3, 40}) {
        Bench bench_(bench({fmt::format("slip:{}@200deg", counts)}));
        bench_.start();
        bench_.go_on(9.0);
        const auto marks = bench_.all<RigIndex>();
        REQUIRE(marks.size() >= 2);
        CHECK(marks[1].count - marks[0].count == 7200 - counts);
    }
}

TEST_CASE("virtual rig: troubles that the controller names", "[virtual]") {
    Bench range(bench({"range-front@60deg+10deg", "range-rear@90deg+10deg", "encoder@120deg"}));
    range.start();
    range.go_on(3.0);
    CHECK(range.troubles(TroubleKind::range_front) == 1);
    CHECK(range.troubles(TroubleKind::range_rear) == 1);
    CHECK(range.troubles(TroubleKind::encoder) == 1);
    CHECK(range.truths("fault") == 3);

    ControllerOptions slow;
    slow.baud = 4800;
    Bench overrun(bench(), slow);
    overrun.start();
    overrun.go_on(6.0);
    CHECK(overrun.troubles(TroubleKind::overrun) > 0);
    CHECK(overrun.troubles(TroubleKind::lines_lost) > 0);
}

TEST_CASE("virtual rig: the plug pulled and in again: silence, then a controller that starts afresh",
          "[virtual]") {
    Bench bench_(bench({"unplug:0.5@60deg"}));
    bench_.start();
    for (int i = 0; i < 300 && bench_.rig.plugged(); ++i) bench_.go_on(0.01);
    CHECK_FALSE(bench_.rig.plugged());
    CHECK(bench_.rig.take().empty());
    bench_.go_on(1.0);
    CHECK(bench_.rig.plugged());
    CHECK_FALSE(bench_.rig.streaming());
    CHECK(bench_.truths("plugged") == 1);
    bench_.bytes.clear();
    bench_.rig.receive(checked("hello"));
    bench_.go_on(0.01);
    CHECK(has(bench_.bytes, "H,1,virtual,7200,500,-"));
}

TEST_CASE("virtual rig: starting afresh when opened, deaf for a moment, garbage first", "[virtual]") {
    Bench bench_(bench({"reset-on-open", "garbage:50"}));
    bench_.rig.opened();
    bench_.start();
    bench_.go_on(0.1);
    CHECK(bench_.bytes.size() == 50);  // no answer among it
    bench_.go_on(0.5);
    bench_.start();
    bench_.go_on(0.1);
    CHECK(bench_.all<RigBack>().size() == 1);
}

TEST_CASE("virtual rig: bursts come whole packets or after 16 ms; clock and count wrap unseen", "[virtual]") {
    Bench bench_(bench({"bursts:16", "clock-wrap:2", "count-wrap:500"}));
    bench_.start();
    bench_.go_on(5.0);
    bench_.rig.receive(checked("stop"));
    bench_.go_on(0.1);
    CHECK(bench_.all<RigReading>().size() == bench_.truths("latch"));
    CHECK(bench_.all<RigTrouble>().empty());
    CHECK(bench_.all<RigReading>().back().count - bench_.all<RigReading>().front().count > 7000);
}

TEST_CASE("virtual rig: a motor, its dead man and its stop button", "[virtual]") {
    BenchSetup setup = bench({"stop-button@40deg"});
    setup.hand_turns = false;
    ControllerOptions options;
    options.motor = true;
    Bench bench_(setup, options);
    bench_.start();
    bench_.rig.receive(checked("turn,72000,400"));
    bench_.go_on(0.25);
    const auto begun = bench_.rig.bench().position();
    CHECK(begun > -600 + 50);
    bench_.go_on(1.0);  // nobody says keep
    const auto halted = bench_.rig.bench().position();
    CHECK(halted - begun < 40);
    CHECK(bench_.troubles(TroubleKind::motor_halted) == 1);
    bench_.rig.receive(checked("turn,72000,400"));
    for (int i = 0; i < 30; ++i) {
        bench_.rig.receive(checked("keep"));
        bench_.go_on(0.1);
    }
    CHECK(bench_.troubles(TroubleKind::motor_halted) == 2);  // the button at 40 deg
    CHECK(bench_.rig.bench().position() < -600 + 41 * 20);
}

TEST_CASE("virtual rig: the hand does what it is ordered, in order", "[virtual]") {
    BenchSetup setup = bench();
    setup.hand_turns = false;
    setup.script =
        parse_bench_script("await\nturn 90 # degrees\n\nlobe 1I\nturn -30 200\nrest 0.2\nnext\n", "script");
    Bench bench_(setup);
    bench_.go_on(1.0);
    CHECK(bench_.rig.bench().position() == -600);
    bench_.start();
    bench_.go_on(4.0);
    CHECK(bench_.rig.bench().idle());
    CHECK(std::abs(bench_.rig.bench().position() - 600) < 40);
    CHECK(bench_.rig.bench().place() != "1I");
    CHECK(bench_.truths("place") == 3);
    CHECK_THROWS_AS(bench_.rig.order(parse_bench_order("lobe 9Z")), UsageError);
}

TEST_CASE("virtual rig: stand-alone devices in their own words, streaming and asked", "[virtual]") {
    VirtualDevices streaming(bench(), {});
    streaming.opened(VirtualDevices::counter);
    streaming.opened(VirtualDevices::front);
    std::string counts, front;
    for (int i = 0; i < 2000; ++i) {
        streaming.advance(VirtualBench::tick_us);
        counts += streaming.take(VirtualDevices::counter);
        front += streaming.take(VirtualDevices::front);
    }
    CHECK(counts.rfind("C +0000000\r\n", 0) == 0);
    CHECK(has(counts, "Z +0000600\r\n"));  // it began 30 degrees before the mark
    CHECK(std::count(front.begin(), front.end(), '\n') == 40);
    CHECK(front.find_first_of("+-") == 0);
    CHECK(front.find("\r\n") == 9);
    CHECK(streaming.take(VirtualDevices::rear).empty());  // nobody listens there

    DevicesOptions options;
    options.polled = true;
    VirtualDevices polled(bench({"range-rear"}), options);
    polled.opened(VirtualDevices::rear);
    polled.advance(100'000);
    CHECK(polled.take(VirtualDevices::rear).empty());
    polled.receive(VirtualDevices::rear, "?");
    polled.advance(100'000);
    CHECK(polled.take(VirtualDevices::rear) == "E2\r\n");
    CHECK_THROWS_AS(VirtualDevices(bench({"encoder"}), {}), UsageError);
}

TEST_CASE("virtual rig: faults and orders are read as they are written, and refused with what is wrong",
          "[virtual]") {
    for (const char* text : {"slip:3@200deg", "bit-errors:0.0005", "range-front@90deg+10deg", "unplug:1.5@2s",
                             "encoder", "slip:-3@0s", "silence@1s+2s"})
        CHECK(fault_text(parse_fault(text)) == text);
    for (const char* text : {"", "slipp", "slip:x", "bit-errors:2", "encoder:3", "slip@20", "slip@-3deg",
                             "back:-3", "slip:3@200deg+x", "unplug:1e99"})
        CHECK_THROWS_AS(parse_fault(text), UsageError);
    for (const char* text :
         {"", "turn", "turn x", "turn 1 2 3", "turn 5 -3", "rest 0", "dance", "speed -1", "fault x"})
        CHECK_THROWS_AS(parse_bench_order(text), UsageError);
    CHECK_THROWS_WITH(parse_bench_script("run\n\nturn x\n", "my.script"),
                      Catch::StartsWith("my.script, line 3: "));
}
