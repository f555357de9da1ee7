#include "rig/virtual/virtual_controller.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace lobewright::virtual_rig {
namespace {

constexpr std::int64_t start_up_us = 400'000;  // a boot loader listens for itself about so long
constexpr double fastest_motor_deg_per_s = 60.0;

}  // namespace

VirtualController::VirtualController(const BenchSetup& setup, ControllerOptions options, TruthLog truth)
    : bench_(setup, std::move(truth)), options_(std::move(options)), wire_(options_.baud, setup.seed) {
    seen_position_ = bench_.position();
    power_up(true);
}

firmware::Hardware VirtualController::hardware() {
    firmware::Hardware hardware;
    hardware.self = this;
    hardware.now_us = [](void* self) {
        const auto& rig = *static_cast<VirtualController*>(self);
        return static_cast<std::uint32_t>(rig.bench_.now_us() - rig.powered_us_ + rig.clock_from_us_);
    };
    hardware.read_tips = [](void* self, firmware::TipReading& front, firmware::TipReading& rear) {
        static_cast<VirtualController*>(self)->read_tips(front, rear);
    };
    hardware.zero_tips = [](void* self) { static_cast<VirtualController*>(self)->bench_.zero(); };
    if (options_.motor) {
        hardware.run_motor = [](void* self, std::int32_t counts_per_s) {
            auto& bench = static_cast<VirtualController*>(self)->bench_;
            const double deg_per_s = bench.direction() * bench.deg_of(counts_per_s);
            bench.motor(counts_per_s == 0 ? std::nullopt : std::optional(deg_per_s));
        };
    }
    return hardware;
}

/// The controller starts afresh where the cam stands: count 0, number 0, no stream, no motor.
void VirtualController::power_up(bool at_once) {
    const auto per_rev = bench_.counts_per_rev();
    const firmware::ControllerSetup setup{
        options_.name.c_str(), static_cast<std::uint32_t>(per_rev),
        static_cast<std::uint32_t>(bench_.step_nm()),
        static_cast<std::int32_t>(fastest_motor_deg_per_s * static_cast<double>(per_rev) / 360.0)};
    bench_.motor(std::nullopt);
    core_.emplace(setup, hardware());
    line_.clear();
    powered_us_ = bench_.now_us();
    deaf_until_us_ = at_once ? powered_us_ : powered_us_ + start_up_us;
    if (const auto seconds = bench_.faults().on(FaultKind::clock_wrap))
        clock_from_us_ = (std::int64_t{1} << 32) - std::llround(1e6 * *seconds);
    if (const auto counts = bench_.faults().on(FaultKind::count_wrap))
        core_->set_count(static_cast<std::int32_t>(INT32_MAX - std::llround(*counts)));
    feed(0, false);
}

void VirtualController::advance(std::int64_t us) {
    for (std::int64_t left = us; left >= VirtualBench::tick_us; left -= VirtualBench::tick_us) tick();
}

void VirtualController::tick() {
    const bool listens = plugged() && core_->streaming();
    bench_.tick(
        listens, [this](std::int64_t position) { pass(position); },
        [this](const PlannedFault& fault) { happen(fault); });
    if (!plugged()) return;
    if (was_out_) {
        was_out_ = false;
        power_up(false);
        bench_.write_down("plugged", "");
    }
    if (bench_.now_us() < deaf_until_us_) return;
    core_->poll();
    transmit();
}

/// The encoder's tracks move by these many counts at once.
void VirtualController::feed(std::int64_t counts, bool index) {
    tracks_ += counts;
    const auto place = static_cast<unsigned>(tracks_ & 3);
    core_->edge(place == 1 || place == 2, place >= 2, index);
}

void VirtualController::pass(std::int64_t position) {
    if (!plugged()) {
        seen_position_ = position;
        return;
    }
    const bool mark = position % bench_.counts_per_rev() == 0 && !bench_.faults().on(FaultKind::no_index);
    const std::int64_t way = position > seen_position_ ? 1 : -1;
    seen_position_ = position;
    if (lose_counts_ > 0) {
        --lose_counts_;
        return feed(0, mark);
    }
    feed(way * bench_.direction(), mark);
}

void VirtualController::happen(const PlannedFault& fault) {
    switch (fault.kind) {
        case FaultKind::slip:
            for (std::int64_t i = std::llround(fault.amount); i < 0; ++i) feed(bench_.direction(), false);
            lose_counts_ += std::max<std::int64_t>(0, std::llround(fault.amount));
            break;
        case FaultKind::encoder:
            feed(2, false);
            break;
        case FaultKind::garbage:
            if (fault.at) wire_.noise(static_cast<std::size_t>(fault.amount), bench_.now_us());
            break;
        case FaultKind::unplug:
            unplugged_until_us_ = bench_.now_us() + std::llround(1e6 * fault.amount);
            was_out_ = true;
            wire_.cut();
            bench_.motor(std::nullopt);
            break;
        case FaultKind::reset:
            power_up(false);
            break;
        case FaultKind::stop_button:
            core_->stop_button();
            break;
        default:
            break;  // those that last are asked for where they matter
    }
}

void VirtualController::read_tips(firmware::TipReading& front, firmware::TipReading& rear) {
    const std::int64_t position = bench_.position();
    const ShownTips tips = bench_.shown(position);
    const auto reading = [](const ShownTip& tip) {
        return tip.state == TipNow::good ? firmware::TipReading{firmware::TipState::good, tip.steps}
                                         : firmware::TipReading{firmware::TipState::out_of_range, 0};
    };
    front = reading(tips.front);
    rear = reading(tips.rear);
    const auto text = [](const ShownTip& tip) {
        return tip.state == TipNow::good ? fmt::format("{}", tip.steps) : std::string("-");
    };
    const bool stuck = tips.front.stuck || tips.rear.stuck;
    bench_.write_down("latch", fmt::format("{},{},{},{},{},{}", bench_.place(), position, core_->count(),
                                           text(tips.front), text(tips.rear), stuck ? "stuck" : "true"));
}

void VirtualController::transmit() {
    const std::size_t carried = wire_.carries(bench_.now_us());
    if (bench_.faults().on(FaultKind::silence)) return;
    char bytes[512];
    for (std::size_t left = std::min(carried, room_); left > 0;) {
        const std::size_t taken = core_->take(bytes, std::min(sizeof bytes, left));
        if (taken == 0) break;
        left -= taken;
        if (room_ != SIZE_MAX) room_ -= taken;
        log_sent({bytes, taken});
        wire_.send({bytes, taken}, bench_.now_us(), bench_.faults());
        core_->poll();
    }
}

void VirtualController::log_sent(std::string_view bytes) {
    for (const char c : bytes) {
        if (c != '\n') {
            line_.push_back(c);
            continue;
        }
        bench_.write_down("sent", line_);
        line_.clear();
    }
}

void VirtualController::receive(std::string_view bytes) {
    if (!plugged() || bench_.now_us() < deaf_until_us_) return;
    for (const char c : bytes) core_->receive(c);
    core_->poll();
}

std::string VirtualController::take() {
    return plugged() ? wire_.arrived(bench_.now_us(), bench_.faults()) : std::string();
}

void VirtualController::opened() {
    if (!plugged()) return;
    if (bench_.faults().on(FaultKind::reset_on_open)) {
        bench_.write_down("fault", fmt::format("{:.3f},reset-on-open", bench_.deg_of(bench_.position())));
        power_up(false);
    }
    if (const auto bytes = bench_.faults().from_the_beginning(FaultKind::garbage))
        wire_.noise(static_cast<std::size_t>(*bytes), bench_.now_us());
}

}  // namespace lobewright::virtual_rig
