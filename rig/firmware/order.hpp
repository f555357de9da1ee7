// order.hpp: what the host asks of the controller (docs/rig-protocol.md), byte by byte into a bounded buffer. A line that
// is too long, fails its check sum or isn't an order is passed over and counted: the host asks again. Part of the
// controller's firmware: no allocation, no exceptions.
#pragma once

#include <cstddef>
#include <cstdint>

#include "rig/firmware/line.hpp"

namespace lobewright::firmware {

enum class OrderKind : std::uint8_t { none, hello, start, stop, zero, every, turn, keep, halt };

struct Order {
    OrderKind kind = OrderKind::none;
    std::int32_t counts = 0;        // every: above 0; turn: how far, signed, not 0
    std::int32_t counts_per_s = 0;  // turn: above 0
};

/// The order that a payload stands for; `none` when it is no order.
Order parse_order(const char* payload, std::size_t size);

class OrderReader {
public:
    /// The order that this byte completes, or `none`.
    Order take(char byte);

    /// Lines passed over since power-up.
    [[nodiscard]] std::uint32_t refused() const { return refused_; }

private:
    char text_[longest_line] = {};
    std::size_t size_ = 0;
    bool overlong_ = false;
    std::uint32_t refused_ = 0;
};

}  // namespace lobewright::firmware
