// replay_events.hpp: the events of a capture, remade from its bytes by the decoder that made them while they came.
#pragma once

#include <filesystem>

#include "rig/acquisition/rig_listener.hpp"
#include "rig/capture/capture_reader.hpp"

namespace lobewright {

/// Gives every event and note of the capture, in order. Returns what the capture says of itself, with notes of what
/// couldn't be read. Throws as read_capture does.
CaptureContents replay_events(const std::filesystem::path& file, const RigListener& listener,
                              const NoteListener& notes = {}, PastDamage past_damage = PastDamage::refuse);

}  // namespace lobewright
