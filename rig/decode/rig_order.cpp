#include "rig/decode/rig_order.hpp"

#include <fmt/format.h>

#include "rig/framing/crc16.hpp"

namespace lobewright {
namespace {

std::string payload_of(const RigOrder& order) {
    switch (order.kind) {
        case RigOrder::Kind::hello:
            return "hello";
        case RigOrder::Kind::start:
            return "start";
        case RigOrder::Kind::stop:
            return "stop";
        case RigOrder::Kind::zero:
            return "zero";
        case RigOrder::Kind::every:
            return fmt::format("every,{}", order.counts);
        case RigOrder::Kind::turn:
            return fmt::format("turn,{},{}", order.counts, order.counts_per_s);
        case RigOrder::Kind::keep:
            return "keep";
        case RigOrder::Kind::halt:
            break;
    }
    return "halt";
}

}  // namespace

std::string order_line(const RigOrder& order) {
    const std::string payload = payload_of(order);
    return fmt::format("{}*{:04X}\n", payload, crc16(payload.data(), payload.size()));
}

}  // namespace lobewright
