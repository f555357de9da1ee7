// session_note_capture.hpp: a session's notes as they stand in a capture, among those of its ports.
// Throws what parse_session_note throws.
#pragma once

#include <optional>

#include "rig/capture/capture_note.hpp"
#include "rig/session/session_note.hpp"

namespace lobewright {

CaptureNote capture_note_of(const SessionNote& note);

/// None for a note that isn't a session's.
std::optional<SessionNote> session_note_of(const CaptureNote& note);

}  // namespace lobewright
