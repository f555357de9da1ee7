// event_decoder.hpp: bytes and notes of a rig, of whatever devices, to its events: the one decoder of live rigs and
// captures. The same calls give the same events.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <variant>

#include "rig/acquisition/latched_decoder.hpp"
#include "rig/acquisition/rig_description.hpp"
#include "rig/acquisition/rig_listener.hpp"
#include "rig/acquisition/separate_decoder.hpp"

namespace lobewright {

class EventDecoder {
public:
    EventDecoder(const RigDescription& rig, RigListener listener, NoteListener notes);

    /// Bytes that `port` (a role's name) sent.
    void bytes(std::int64_t host_us, std::string_view port, std::string_view bytes);
    void note(const CaptureNote& note);
    /// Every device has answered since the start and since it was last unplugged.
    [[nodiscard]] bool ready() const;
    /// Whether the device `port` has.
    [[nodiscard]] bool answered(std::string_view port) const;
    /// Why this rig can't be worked with, or empty.
    [[nodiscard]] const std::string& refusal() const;

private:
    NoteListener notes_;
    std::variant<LatchedDecoder, SeparateDecoder> decoder_;
};

}  // namespace lobewright
