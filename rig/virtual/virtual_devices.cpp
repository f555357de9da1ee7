#include "rig/virtual/virtual_devices.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "analysis/errors.hpp"

namespace lobewright::virtual_rig {
namespace {

constexpr std::array<FaultKind, 4> controllers_own = {FaultKind::encoder, FaultKind::reset_on_open,
                                                      FaultKind::clock_wrap, FaultKind::stop_button};

void check_faults(const std::vector<PlannedFault>& faults) {
    for (const PlannedFault& fault : faults) {
        if (std::find(controllers_own.begin(), controllers_own.end(), fault.kind) != controllers_own.end())
            throw UsageError(fmt::format("fault {}: only a controller can have it, stand-alone devices can't",
                                         kind_name(fault.kind)));
    }
}

}  // namespace

VirtualDevices::VirtualDevices(const BenchSetup& setup, const DevicesOptions& options, TruthLog truth)
    : bench_(setup, std::move(truth)),
      options_(options),
      wires_{Wire(options.baud, setup.seed), Wire(options.baud, setup.seed + 1),
             Wire(options.baud, setup.seed + 2)},
      next_us_{1000, 3000, 7000},  // devices that know nothing of each other don't read at once
      zero_(bench_.position()) {
    check_faults(setup.faults);
}

void VirtualDevices::advance(std::int64_t us) {
    for (std::int64_t left = us; left >= VirtualBench::tick_us; left -= VirtualBench::tick_us) tick();
}

void VirtualDevices::tick() {
    bench_.tick(
        listened_to(),
        [this](std::int64_t position) {
            const bool mark = position % bench_.counts_per_rev() == 0;
            if (mark && plugged() && !bench_.faults().on(FaultKind::no_index))
                say(counter, 0, fmt::format("Z {:+08d}\r\n", count()));
        },
        [this](const PlannedFault& fault) { happen(fault); });
    if (!plugged()) return;
    if (was_out_) {
        was_out_ = false;
        zero_ = bench_.position();
        slipped_ = 0;
        bench_.write_down("plugged", "");
    }
    for (std::size_t device = 0; device < devices; ++device) {
        const double hz = device == counter ? options_.counter_hz : options_.indicator_hz;
        while (!options_.polled && bench_.now_us() >= next_us_[device]) {
            read(device);
            next_us_[device] += std::llround(1e6 / hz);
        }
        transmit(device);
    }
}

void VirtualDevices::happen(const PlannedFault& fault) {
    if (fault.kind == FaultKind::slip) slipped_ += std::llround(fault.amount);
    if (fault.kind == FaultKind::reset) {
        zero_ = bench_.position();
        slipped_ = 0;
    }
    if (fault.kind == FaultKind::garbage && fault.at) {
        for (Wire& wire : wires_) wire.noise(static_cast<std::size_t>(fault.amount), bench_.now_us());
    }
    if (fault.kind != FaultKind::unplug) return;
    unplugged_until_us_ = bench_.now_us() + std::llround(1e6 * fault.amount);
    was_out_ = true;
    for (std::size_t device = 0; device < devices; ++device) {
        wires_[device].cut();
        due_[device].clear();
        sending_[device].clear();
        open_[device] = false;
        next_us_[device] = std::max(next_us_[device], unplugged_until_us_);
    }
}

/// Takes a reading now; it is sent when the device is through with it.
void VirtualDevices::read(std::size_t device) {
    if (device == counter) {
        bench_.write_down("count", fmt::format("{},{}", bench_.position(), count()));
        return say(counter, 0, fmt::format("C {:+08d}\r\n", count()));
    }
    const ShownTips tips = bench_.shown(bench_.position());
    const ShownTip& tip = device == front ? tips.front : tips.rear;
    const bool good = tip.state == TipNow::good;
    const double mm = 1e-6 * static_cast<double>(tip.steps) * static_cast<double>(bench_.step_nm());
    const int decimals = bench_.step_nm() % 100 == 0 ? 4 : 5;
    bench_.write_down(
        device == front ? "front" : "rear",
        fmt::format("{},{},{}", bench_.place(), bench_.position(), good ? fmt::to_string(tip.steps) : "-"));
    say(device, options_.latency_us,
        good ? fmt::format("{:+0{}.{}f}\r\n", mm, 5 + decimals, decimals) : "E2\r\n");
}

void VirtualDevices::say(std::size_t device, std::int64_t delay_us, std::string text) {
    due_[device].push_back({bench_.now_us() + delay_us, std::move(text)});
}

void VirtualDevices::transmit(std::size_t device) {
    std::string& sending = sending_[device];
    while (!due_[device].empty() && due_[device].front().us <= bench_.now_us()) {
        sending += due_[device].front().text;
        due_[device].pop_front();
    }
    const std::size_t carried = std::min(wires_[device].carries(bench_.now_us()), sending.size());
    // A device that nobody listens to sends all the same, into the air.
    if (open_[device] && !bench_.faults().on(FaultKind::silence))
        wires_[device].send(std::string_view(sending).substr(0, carried), bench_.now_us(), bench_.faults());
    sending.erase(0, carried);
}

void VirtualDevices::receive(std::size_t device, std::string_view bytes) {
    if (!plugged() || !options_.polled) return;
    for (const char c : bytes)
        if (c == '?') read(device);
}

std::string VirtualDevices::take(std::size_t device) {
    return plugged() ? wires_[device].arrived(bench_.now_us(), bench_.faults()) : std::string();
}

void VirtualDevices::opened(std::size_t device) {
    if (!plugged()) return;
    open_[device] = true;
    if (const auto bytes = bench_.faults().from_the_beginning(FaultKind::garbage))
        wires_[device].noise(static_cast<std::size_t>(*bytes), bench_.now_us());
}

}  // namespace lobewright::virtual_rig
