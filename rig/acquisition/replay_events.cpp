#include "rig/acquisition/replay_events.hpp"

#include <optional>

#include "rig/acquisition/event_decoder.hpp"
#include "rig/capture/capture_format.hpp"

namespace lobewright {

CaptureContents replay_events(const std::filesystem::path& file, const RigListener& listener,
                              const NoteListener& notes, PastDamage past_damage) {
    EventDecoder decoder(read_capture_head(file).rig, listener, notes);
    return read_capture(file, past_damage, [&](const CaptureRecord& record) {
        if (record.port != meta_port) {
            decoder.bytes(record.host_us, record.port, record.bytes);
        } else if (const auto note = parse_capture_note(record.bytes, record.host_us)) {
            decoder.note(*note);
        }
    });
}

}  // namespace lobewright
