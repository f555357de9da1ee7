// virtual_controller.hpp: a rig with a latching controller that isn't there: the controller's own firmware
// (rig/firmware) with a cam of known truth under its tips, on a clock that runs only when told to. Bytes in, bytes out; no
// port, no thread.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "rig/firmware/controller.hpp"
#include "rig/virtual/virtual_bench.hpp"
#include "rig/virtual/wire.hpp"

namespace lobewright::virtual_rig {

struct ControllerOptions {
    std::string name = "virtual";
    bool motor = false;
    int baud = 0;  // 0: as fast as you like
};

class VirtualController {
public:
    VirtualController(const BenchSetup& setup, ControllerOptions options, TruthLog truth = {});
    VirtualController(const VirtualController&) = delete;  // the firmware holds its address
    VirtualController& operator=(const VirtualController&) = delete;

    /// Goes on by so much time, in whole ticks.
    void advance(std::int64_t us);
    /// Bytes from the host; lost while the plug is out or the controller starts.
    void receive(std::string_view bytes);
    /// What has arrived at the host's end.
    std::string take();
    /// Somebody has opened the port.
    void opened();
    /// The port takes no more bytes than this for now; what the controller can't hold meanwhile it drops and tells of.
    void set_room(std::size_t bytes) { room_ = bytes; }
    void order(const BenchOrder& order) { bench_.order(order); }

    [[nodiscard]] bool plugged() const { return bench_.now_us() >= unplugged_until_us_; }
    [[nodiscard]] bool streaming() const { return core_->streaming(); }
    [[nodiscard]] VirtualBench& bench() { return bench_; }

private:
    void power_up(bool at_once);
    void tick();
    void pass(std::int64_t position);
    void happen(const PlannedFault& fault);
    void feed(std::int64_t tracks, bool index);
    void transmit();
    void log_sent(std::string_view bytes);
    void read_tips(firmware::TipReading& front, firmware::TipReading& rear);
    [[nodiscard]] firmware::Hardware hardware();

    VirtualBench bench_;
    ControllerOptions options_;
    Wire wire_;
    std::optional<firmware::Controller> core_;
    std::int64_t tracks_ = 0;  // where the encoder's tracks stand, in counts as the controller sees them
    std::int64_t seen_position_ = 0;  // true position at the last count that was seen or lost
    std::int64_t lose_counts_ = 0;    // the encoder's next counts that nobody sees
    std::int64_t powered_us_ = 0;
    std::int64_t clock_from_us_ = 0;
    std::int64_t deaf_until_us_ = 0;
    std::int64_t unplugged_until_us_ = 0;
    bool was_out_ = false;
    std::size_t room_ = SIZE_MAX;
    std::string line_;
};

}  // namespace lobewright::virtual_rig
