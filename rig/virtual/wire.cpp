#include "rig/virtual/wire.hpp"

#include <algorithm>
#include <cmath>

namespace lobewright::virtual_rig {
namespace {

constexpr std::size_t adapter_packet = 62;  // data bytes that a USB serial adapter sends at once
constexpr double bits_a_byte = 10.0;        // start, eight, stop

}  // namespace

std::size_t Wire::carries(std::int64_t now_us) {
    if (baud_ == 0) return SIZE_MAX;
    carry_ += static_cast<double>(now_us - carried_us_) * baud_ / bits_a_byte / 1e6;
    carried_us_ = now_us;
    const double whole = std::floor(carry_);
    // What the line didn't carry while there was nothing to send isn't saved up.
    carry_ = std::min(carry_ - whole, 1.0);
    return static_cast<std::size_t>(whole);
}

void Wire::send(std::string_view bytes, std::int64_t now_us, const FaultPlan& faults) {
    const double bit = faults.on(FaultKind::bit_errors).value_or(0.0);
    const double lost = faults.on(FaultKind::lost_bytes).value_or(0.0);
    const double twice = faults.on(FaultKind::doubled_bytes).value_or(0.0);
    const double split = faults.on(FaultKind::split_lines).value_or(0.0);
    const double glued = faults.on(FaultKind::glued_lines).value_or(0.0);
    const auto happens = [&](double probability) {
        const bool yes = probability > 0.0 && random_.uniform() < probability;
        if (yes) ++touched_;
        return yes;
    };
    constexpr double bytes_a_line = 36.0;  // so that a split happens about once in 1 / probability lines
    for (char byte : bytes) {
        if (happens(lost)) continue;
        if (byte == '\n' && happens(glued)) continue;
        if (byte != '\n' && happens(split / bytes_a_line)) put('\n', now_us);
        if (bit > 0.0) {
            for (unsigned i = 0; i < 8; ++i)
                if (happens(bit)) byte = static_cast<char>(static_cast<unsigned char>(byte) ^ (1U << i));
        }
        put(byte, now_us);
        if (happens(twice)) put(byte, now_us);
    }
}

void Wire::noise(std::size_t bytes, std::int64_t now_us) {
    for (std::size_t i = 0; i < bytes; ++i) put(static_cast<char>(random_.below(256)), now_us);
    touched_ += bytes;
}

std::string Wire::arrived(std::int64_t now_us, const FaultPlan& faults) {
    std::string out;
    const double hold_us = 1000.0 * faults.on(FaultKind::bursts).value_or(0.0);
    while (!on_the_way_.empty()) {
        const bool timer = static_cast<double>(now_us - on_the_way_.front().us) >= hold_us;
        if (!timer && on_the_way_.size() < adapter_packet) break;
        const std::size_t packet =
            hold_us > 0.0 ? std::min(adapter_packet, on_the_way_.size()) : on_the_way_.size();
        for (std::size_t i = 0; i < packet; ++i) {
            out.push_back(on_the_way_.front().byte);
            on_the_way_.pop_front();
        }
    }
    return out;
}

}  // namespace lobewright::virtual_rig
