#include "rig/acquisition/event_decoder.hpp"

#include <utility>

#include "rig/acquisition/port_trouble.hpp"

namespace lobewright {
namespace {

using Decoder = std::variant<LatchedDecoder, SeparateDecoder>;

Decoder decoder_for(const RigDescription& rig, RigListener listener) {
    if (rig.latched()) return LatchedDecoder(std::move(listener));
    return SeparateDecoder(rig, std::move(listener));
}

const std::string no_refusal;

}  // namespace

EventDecoder::EventDecoder(const RigDescription& rig, RigListener listener, NoteListener notes)
    : notes_(std::move(notes)), decoder_(decoder_for(rig, std::move(listener))) {}

void EventDecoder::bytes(std::int64_t host_us, std::string_view port, std::string_view bytes) {
    if (auto* const latched = std::get_if<LatchedDecoder>(&decoder_)) {
        latched->bytes(host_us, bytes);
    } else {
        std::get<SeparateDecoder>(decoder_).bytes(host_us, port, bytes);
    }
}

void EventDecoder::note(const CaptureNote& note) {
    if (is_port_note(note)) {
        std::visit([&note](auto& decoder) { decoder.note(note); }, decoder_);
    } else if (notes_) {
        notes_(note);
    }
}

bool EventDecoder::ready() const {
    const auto* const latched = std::get_if<LatchedDecoder>(&decoder_);
    return latched != nullptr ? latched->greeted() : std::get<SeparateDecoder>(decoder_).ready();
}

bool EventDecoder::answered(std::string_view port) const {
    const auto* const latched = std::get_if<LatchedDecoder>(&decoder_);
    return latched != nullptr ? latched->greeted() : std::get<SeparateDecoder>(decoder_).answered(port);
}

const std::string& EventDecoder::refusal() const {
    const auto* const latched = std::get_if<LatchedDecoder>(&decoder_);
    return latched != nullptr ? latched->refusal() : no_refusal;
}

}  // namespace lobewright
