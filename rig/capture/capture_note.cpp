#include "rig/capture/capture_note.hpp"

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/toml_file.hpp"
#include "analysis/toml_text.hpp"

namespace lobewright {

std::string print_capture_note(const CaptureNote& note) {
    std::string out = fmt::format("event = {}\n", toml_text(note.event));
    if (!note.port.empty()) out += fmt::format("port = {}\n", toml_text(note.port));
    if (note.amount != 0) out += fmt::format("amount = {}\n", note.amount);
    if (!note.text.empty()) out += fmt::format("text = {}\n", toml_text(note.text));
    return out;
}

std::optional<CaptureNote> parse_capture_note(std::string_view toml, std::int64_t host_us) {
    try {
        const toml::table table = parse_toml(toml, "note");
        const auto event = table["event"].value<std::string>();
        if (!event) return std::nullopt;
        return CaptureNote{host_us, *event, table["port"].value_or(std::string()),
                           table["amount"].value_or(std::int64_t{0}), table["text"].value_or(std::string())};
    } catch (const DataError&) {
        return std::nullopt;
    }
}

}  // namespace lobewright
