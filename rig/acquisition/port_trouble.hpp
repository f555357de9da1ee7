// port_trouble.hpp: notes about ports, as trouble for the machinist.
#pragma once

#include <optional>

#include "rig/acquisition/rig_event.hpp"
#include "rig/capture/capture_note.hpp"

namespace lobewright {

/// None for notes that aren't trouble of a port.
std::optional<RigTrouble> port_trouble(const CaptureNote& note, std::int64_t t_us);

/// Notes that port_trouble or the decoders know: all others are the sweep's and the user's.
bool is_port_note(const CaptureNote& note);

}  // namespace lobewright
