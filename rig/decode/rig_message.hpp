// rig_message.hpp: what one line of the rig's protocol says, checked and split into fields (docs/rig-protocol.md).
// Plain values; counts and clocks are the controller's own, 32 bits wide and wrapping.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <variant>

namespace lobewright {

/// `H`: who the controller is and what it can do.
struct Hello {
    int version = 1;
    std::string name;
    std::int64_t counts_per_rev = 0;
    std::int64_t step_nm = 0;  // indicator step, nanometres
    bool turns = false;        // has a motor that turns the cam
};

/// `S`: count and indicators latched in one instant. Readings in steps, none where an indicator has none.
struct Sample {
    std::uint32_t seq = 0;
    std::uint32_t t_us = 0;
    std::int32_t count = 0;
    std::optional<std::int32_t> front;
    std::optional<std::int32_t> rear;
};

/// `X`: the index mark went by.
struct IndexMark {
    std::uint32_t seq = 0;
    std::uint32_t t_us = 0;
    std::int32_t count = 0;
};

enum class FaultCode { range_front, range_rear, encoder, overrun, halted };

/// `F`: the controller says what it can't vouch for.
struct Fault {
    std::uint32_t seq = 0;
    std::uint32_t t_us = 0;
    FaultCode code = FaultCode::encoder;
};

/// `B`: nothing else to send for a second.
struct Beat {
    std::uint32_t seq = 0;
    std::uint32_t t_us = 0;
    std::int32_t count = 0;
};

/// `Q`: the last sequence number that was sent, in answer to `stop`.
struct Stopped {
    std::uint32_t seq = 0;
};

using RigMessage = std::variant<Hello, Sample, IndexMark, Fault, Beat, Stopped>;

}  // namespace lobewright
