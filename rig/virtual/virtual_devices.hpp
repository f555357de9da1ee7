// virtual_devices.hpp: a bench without a controller: a counter and two indicators that know nothing of each other, each on
// a port of its own and with lines of its own, streaming or sent when asked (`?`). On a clock that runs only when told to.
//   counter     C +0001234      Z +0000810 when the index mark goes by, with the count there     CR LF
//   indicators  +001.2345 (mm)  E2 when out of range                                             CR LF
// A reading stands for the moment `latency_us` before its first byte.
#pragma once

#include <array>
#include <cstdint>
#include <deque>
#include <string>
#include <string_view>

#include "rig/virtual/virtual_bench.hpp"
#include "rig/virtual/wire.hpp"

namespace lobewright::virtual_rig {

struct DevicesOptions {
    bool polled = false;
    double counter_hz = 200.0;
    double indicator_hz = 20.0;
    std::int64_t latency_us = 15'000;  // of the indicators; the counter has none
    int baud = 0;                      // 0: as fast as you like
};

class VirtualDevices {
public:
    static constexpr std::size_t counter = 0, front = 1, rear = 2, devices = 3;

    /// Throws UsageError for faults that only a controller can have.
    VirtualDevices(const BenchSetup& setup, const DevicesOptions& options, TruthLog truth = {});

    void advance(std::int64_t us);
    void receive(std::size_t device, std::string_view bytes);
    std::string take(std::size_t device);
    /// Somebody has opened or closed the device's port.
    void opened(std::size_t device);
    void closed(std::size_t device) { open_[device] = false; }
    void order(const BenchOrder& order) { bench_.order(order); }

    [[nodiscard]] bool plugged() const { return bench_.now_us() >= unplugged_until_us_; }
    [[nodiscard]] bool listened_to() const { return plugged() && open_[counter]; }
    [[nodiscard]] VirtualBench& bench() { return bench_; }

private:
    struct Due {
        std::int64_t us;
        std::string text;
    };
    void tick();
    void happen(const PlannedFault& fault);
    void read(std::size_t device);
    void say(std::size_t device, std::int64_t delay_us, std::string text);
    void transmit(std::size_t device);
    [[nodiscard]] std::int64_t count() const {
        return bench_.direction() * (bench_.position() - zero_) - slipped_;
    }

    VirtualBench bench_;
    DevicesOptions options_;
    std::array<Wire, devices> wires_;
    std::array<std::deque<Due>, devices> due_;
    std::array<std::string, devices> sending_;
    std::array<std::int64_t, devices> next_us_;
    std::array<bool, devices> open_{};
    std::int64_t zero_;
    std::int64_t slipped_ = 0;
    std::int64_t unplugged_until_us_ = 0;
    bool was_out_ = false;
};

}  // namespace lobewright::virtual_rig
