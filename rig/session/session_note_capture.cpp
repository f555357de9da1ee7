#include "rig/session/session_note_capture.hpp"

namespace lobewright {

namespace {

constexpr auto event_name = "sweep";

}  // namespace

CaptureNote capture_note_of(const SessionNote& note) {
    CaptureNote out;
    out.event = event_name;
    out.text = print_session_note(note);
    return out;
}

std::optional<SessionNote> session_note_of(const CaptureNote& note) {
    if (note.event != event_name) return std::nullopt;
    return parse_session_note(note.text);
}

}  // namespace lobewright
