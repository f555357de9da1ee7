#include "rig/acquisition/event_decoder.hpp"

#include <utility>

#include "rig/acquisition/port_trouble.hpp"

namespace lobewright {

EventDecoder::EventDecoder(const RigDescription& /*rig*/, RigListener listener, NoteListener notes)
    : notes_(std::move(notes)), decoder_(std::move(listener)) {}

void EventDecoder::bytes(std::int64_t host_us, std::string_view /*port*/, std::string_view bytes) {
    decoder_.bytes(host_us, bytes);
}

void EventDecoder::note(const CaptureNote& note) {
    if (is_port_note(note)) {
        decoder_.note(note);
    } else if (notes_) {
        notes_(note);
    }
}

bool EventDecoder::ready() const {
    return decoder_.greeted();
}

bool EventDecoder::answered(std::string_view /*port*/) const {
    return decoder_.greeted();
}

const std::string& EventDecoder::refusal() const {
    return decoder_.refusal();
}

}  // namespace lobewright
