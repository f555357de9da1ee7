// rig_listener.hpp: who hears what the rig tells.
#pragma once

#include <functional>

#include "rig/acquisition/rig_event.hpp"
#include "rig/capture/capture_note.hpp"

namespace lobewright {

using RigListener = std::function<void(const RigEvent&)>;

/// Notes that the sweep or the user put between the bytes (RigConnection::note), in their place among the events.
using NoteListener = std::function<void(const CaptureNote&)>;

}  // namespace lobewright
