// rig_event.hpp: what a rig, of whatever devices, tells the sweep in hand: the one boundary between the side that
// knows ports, clocks and protocols and the side that knows lobes, turns and coverage. Plain values, in the order in
// which things happened; lengths in mm, counts unwrapped and signed, times in microseconds of one clock that doesn't
// wrap. The same capture gives the same events.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <variant>

namespace lobewright {

/// The rig answers: at the start, after an unplug, after a reset. Counts are void until the next index mark.
struct RigBack {
    std::int64_t t_us = 0;
    std::string name;
    std::int64_t counts_per_rev = 0;
    std::optional<double> step_mm;  // indicator step, where the rig tells it
    bool turns = false;             // has a motor
};

/// Count and readings that belong together. `doubt_us`: how far apart in time they may have been taken, one standard
/// uncertainty; 0 for a latched sample.
struct RigReading {
    std::int64_t t_us = 0;
    std::int64_t count = 0;
    std::optional<double> front_mm;
    std::optional<double> rear_mm;
    double doubt_us = 0.0;
};

/// The index mark went by at this count.
struct RigIndex {
    std::int64_t t_us = 0;
    std::int64_t count = 0;
};

/// The cam stands, and the rig is well: last known count.
struct RigIdle {
    std::int64_t t_us = 0;
    std::int64_t count = 0;
};

enum class TroubleKind {
    lines_lost,    // sequence gap; `amount` lines
    line_damaged,  // check sum or fields wrong; `amount` lines
    range_front,
    range_rear,
    encoder,
    overrun,  // the rig could not send fast enough
    motor_halted,
    restarted,      // the controller began anew with its plug in; RigBack follows
    not_answering,  // port there, rig silent
    unplugged,
    port_errors,  // framing, parity or overrun counters of the port rose by `amount`
    recording,    // the capture can't be written; `says` tells why
};

/// Something that the data must not hide. `says` is one plain line for the machinist.
struct RigTrouble {
    std::int64_t t_us = 0;
    TroubleKind kind = TroubleKind::encoder;
    std::uint64_t amount = 0;
    std::string says;
};

using RigEvent = std::variant<RigBack, RigReading, RigIndex, RigIdle, RigTrouble>;

}  // namespace lobewright
