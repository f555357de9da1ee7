#include "rig/session/turn_guard.hpp"

namespace lobewright {

namespace {

constexpr std::int64_t keep_each_us = 100'000;  // a third of what the motor's guard allows
constexpr std::int64_t too_late_us = 300'000;   // the guard has halted the motor by then

}  // namespace

void TurnGuard::start(std::int64_t counts, std::int64_t counts_per_s, std::int64_t now_us) {
    running_ = true;
    why_.clear();
    kept_us_ = now_us;
    orders_.turn(counts, counts_per_s);
    orders_.keep();
}

void TurnGuard::tick(std::int64_t now_us) {
    if (!running_) return;
    if (now_us - kept_us_ >= too_late_us) return halt("this program was held up");
    if (now_us - kept_us_ < keep_each_us) return;
    kept_us_ = now_us;
    orders_.keep();
}

void TurnGuard::halt(const std::string& why) {
    if (running_) why_ = why;
    running_ = false;
    orders_.halt();
}

std::optional<std::int64_t> TurnGuard::next_us() const {
    if (!running_) return std::nullopt;
    return kept_us_ + keep_each_us;
}

}  // namespace lobewright
