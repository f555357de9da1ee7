#include "rig/acquisition/port_trouble.hpp"

#include <fmt/format.h>

namespace lobewright {

std::optional<RigTrouble> port_trouble(const CaptureNote& note, std::int64_t t_us) {
    const auto amount = static_cast<std::uint64_t>(note.amount < 0 ? 0 : note.amount);
    if (note.event == "unplugged") {
        return RigTrouble{t_us, TroubleKind::unplugged, 1,
                          fmt::format("{} unplugged; waiting for it", note.port)};
    }
    if (note.event == "not_answering")
        return RigTrouble{t_us, TroubleKind::not_answering, 1, fmt::format("{} doesn't answer", note.port)};
    if (note.event == "port_errors") {
        return RigTrouble{t_us, TroubleKind::port_errors, amount,
                          fmt::format("{}: {} on the port: check cable and baud", note.port, note.text)};
    }
    if (note.event == "recording") return RigTrouble{t_us, TroubleKind::recording, 1, note.text};
    return std::nullopt;
}

bool is_port_note(const CaptureNote& note) {
    return note.event == "unplugged" || note.event == "returned" || note.event == "not_answering" ||
           note.event == "port_errors" || note.event == "recording";
}

}  // namespace lobewright
