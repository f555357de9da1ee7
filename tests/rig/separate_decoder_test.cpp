#include <algorithm>
#include <cmath>
#include <random>

#include <catch2/catch.hpp>

#include "rig/acquisition/clock_fit.hpp"
#include "rig/acquisition/event_decoder.hpp"
#include "rig/decode/reading_line.hpp"
#include "tests/rig/rig_lines.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

LineFormat format(const std::string& pattern) {
    LineFormat out;
    out.pattern = pattern;
    return out;
}

/// A counter and two indicators on a cam that turns 4000 counts a second. The indicators' readings tell the moment that
/// they were taken, in milliseconds, so that truth needs no decoder: the count is due to be 4 per unit of reading.
struct Bench {
    RigDescription rig;
    double delay_us = 20'000.0;   // least, of the indicators: what their latency says
    double jitter_us = 16'000.0;  // added to it, evenly spread
    bool clocks = false;
    int leave_out = 0;  // every so many readings of the front indicator one isn't sent

    Bench() {
        rig.counts_per_rev = 14400;
        DeviceDescription counter{DeviceRole::counter, {"a"}, format("C(-?\\d+)")};
        DeviceDescription front{DeviceRole::front, {"b"}, format(R"(([+-]\d+,\d)(?:;\d+)?)")};
        counter.port.baud = 1'000'000;
        front.port.baud = 1'000'000;
        front.line.latency_us = delay_us;
        DeviceDescription rear = front;
        rear.role = DeviceRole::rear;
        rear.port.name = "c";
        rig.devices = {counter, front, rear};
    }

    EventList run(double seconds) {
        struct Arrival {
            double host_us;
            std::string port, bytes;
        };
        std::vector<Arrival> arrivals;
        std::mt19937_64 random(3);
        std::uniform_real_distribution<double> jitter(0.0, jitter_us);
        const double end = seconds * 1e6;
        for (double t = 0.0; t < end; t += 2'000.0)
            arrivals.push_back({t, "counter", fmt::format("C{}\r\n", std::llround(t * 4e-3))});
        int number = 0;
        for (const auto& [port, phase] : {std::pair{"front", 1'000.0}, std::pair{"rear", 7'000.0}}) {
            double last = 0.0;
            for (double t = phase; t < end; t += 50'000.0) {
                if (leave_out > 0 && *port == 'f' && ++number % leave_out == 0) continue;
                last = std::max(last, t + delay_us + jitter(random));
                const std::string clock = clocks ? fmt::format(";{}", std::llround(t / 1000.0) % 10'000) : "";
                arrivals.push_back({last, port, fmt::format("+{},{}{}\r", std::llround(t) / 1000, 0, clock)});
            }
        }
        std::stable_sort(arrivals.begin(), arrivals.end(),
                         [](const Arrival& a, const Arrival& b) { return a.host_us < b.host_us; });
        if (clocks) {
            for (DeviceDescription& device : rig.devices) {
                if (device.role != DeviceRole::counter)
                    device.line.clock = DeviceClock{".*;(\\d+)", 1000.0, 10'000};
            }
        }
        EventList out;
        EventDecoder decoder(rig, out.listener(), {});
        for (const Arrival& arrival : arrivals)
            decoder.bytes(1'000'000 + std::llround(arrival.host_us), arrival.port, arrival.bytes);
        return out;
    }
};

/// How far a reading's count is from the truth, in microseconds of turning.
double error_us(const RigReading& reading) {
    return (static_cast<double>(reading.count) - *reading.front_mm * 4.0) * 250.0;
}

}  // namespace

TEST_CASE("numbers of stand-alone devices are exact decimals, or nothing", "[rig][reading]") {
    const auto number = [](std::string_view text) {
        const auto parsed = parse_decimal(text);
        return parsed ? fmt::format("{}e-{}", parsed->digits, parsed->decimals) : std::string("none");
    };
    CHECK(number("+0.001") == "1e-3");
    CHECK(number("- 12,340") == "-12340e-3");
    CHECK(number("  7") == "7e-0");
    CHECK(parse_decimal("0.001")->value() == 0.001);
    CHECK(parse_decimal("123456.789")->value() == 123456.789);
    for (const char* const bad :
         {"", "-", "--", "1.", ".5", "1.2.3", "1 2", "1e3", "0x1", "nan", "1234567890123456789"}) {
        INFO(bad);
        CHECK(number(bad) == "none");
    }
}

TEST_CASE("a line is a reading only when all of it is as described", "[rig][reading]") {
    LineReader reader(format(R"(D1 *([+-] *\d+\.\d+) mm)"));
    CHECK(reader.read("D1 +  1.234 mm")->value.digits == 1234);
    CHECK_FALSE(reader.read("D1 +1.234 in"));
    CHECK_FALSE(reader.read("D1 +1.234 mm "));
    CHECK_FALSE(
        reader.read("D1 +1.23 mm"));  // the first reading had three decimals: this one has lost a digit
    CHECK_FALSE(reader.read("ERR2"));
    CHECK_FALSE(reader.read("D1 -- mm"));
}

TEST_CASE("a clock is fitted by its least delays: drift found, jitter gone", "[rig][clock]") {
    std::mt19937_64 random(11);
    std::exponential_distribution<double> delay(1.0 / 4000.0);
    ClockFit fit(1.0);
    const double drift = 1.0 + 40e-6;
    for (double t = 0.0; t < 60e6; t += 10'000.0) fit.add(t, 500.0 + t * drift + delay(random));
    REQUIRE(fit.settled());
    CHECK_FALSE(fit.implausible());
    CHECK(fit.slope_us() == Approx(drift).margin(5e-6));
    CHECK(std::abs(fit.host_us(59e6) - (500.0 + 59e6 * drift)) < 200.0);
    ClockFit wrong(1.0);
    for (double t = 0.0; t < 20e6; t += 10'000.0) wrong.add(t, t * 1.01);
    CHECK(wrong.implausible());
}

TEST_CASE("readings of three devices are joined by time, and the doubt is honest", "[rig][separate]") {
    Bench bench;
    bench.clocks = GENERATE(false, true);
    const EventList out = bench.run(20.0);
    REQUIRE(out.all<RigBack>().size() == 1);
    CHECK(out.all<RigBack>().front().counts_per_rev == 14400);
    CHECK(out.all<RigTrouble>().empty());
    const std::vector<RigReading> readings = out.all<RigReading>();
    REQUIRE(readings.size() > 390);
    double settled_sum = 0.0;
    int settled = 0, beyond = 0;
    for (const RigReading& reading : readings) {
        CHECK(reading.rear_mm.has_value());
        beyond += std::abs(error_us(reading)) > 2.0 * reading.doubt_us + 125.0 ? 1 : 0;  // half a count
        if (*reading.front_mm < 10'000.0) continue;
        settled_sum += error_us(reading) * error_us(reading);
        ++settled;
    }
    CHECK(beyond <= static_cast<int>(readings.size()) / 20);
    // The arrivals alone are 8 ms late in the mean and spread by 4.6 ms.
    CHECK(std::sqrt(settled_sum / settled) < 2'000.0);
}

TEST_CASE("readings left out don't shift the others", "[rig][separate]") {
    Bench bench;
    bench.leave_out = 37;
    const EventList out = bench.run(30.0);
    for (const RigReading& reading : out.all<RigReading>()) {
        if (*reading.front_mm > 10'000.0) CHECK(std::abs(error_us(reading)) < 8'000.0);
    }
}

TEST_CASE("lines that aren't readings are counted; a vanished indicator voids the rig until it is back",
          "[rig][separate]") {
    const Bench bench;
    EventList out;
    EventDecoder decoder(bench.rig, out.listener(), {});
    decoder.bytes(0, "counter", "C0\r\n");
    decoder.bytes(0, "front", "garbage\r+0,1\r");
    CHECK_FALSE(decoder.ready());
    decoder.bytes(10'000, "rear", "+0,2\r");
    CHECK(decoder.ready());
    decoder.bytes(20'000, "front", "ERR1\r");
    CHECK(out.amount(TroubleKind::line_damaged) == 1);
    decoder.note({30'000, "unplugged", "rear", 0, ""});
    CHECK_FALSE(decoder.ready());
    CHECK(out.amount(TroubleKind::unplugged) == 1);
    decoder.note({40'000, "returned", "rear", 0, ""});
    decoder.bytes(50'000, "rear", "+0,2\r");
    CHECK(out.all<RigBack>().size() == 2);
}
