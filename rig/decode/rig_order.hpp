// rig_order.hpp: what the host may ask of a controller (docs/rig-protocol.md). Plain values.
#pragma once

#include <cstdint>
#include <string>

namespace lobewright {

struct RigOrder {
    enum class Kind { hello, start, stop, zero, every, turn, keep, halt };
    Kind kind = Kind::hello;
    std::int64_t counts = 0;        // every: counts between samples; turn: how far, signed
    std::int64_t counts_per_s = 0;  // turn
};

/// The order as it goes over the wire, with its check sum and line end.
std::string order_line(const RigOrder& order);

}  // namespace lobewright
