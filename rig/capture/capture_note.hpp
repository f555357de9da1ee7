// capture_note.hpp: what isn't bytes but belongs between them: the records on the port `meta` of a capture, after its
// first (docs/capture.md). Plain values, and their TOML.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace lobewright {

/// `event` is what happened: to ports `unplugged`, `returned`, `not_answering`, `port_errors`; anything else is the
/// user's or the sweep's and goes through the decoder untouched (`asked`, `sweep_begin`, ...).
struct CaptureNote {
    std::int64_t host_us = 0;  // set by whoever records it
    std::string event;
    std::string port;  // the device's role name, or empty
    std::int64_t amount = 0;
    std::string text;
};

std::string print_capture_note(const CaptureNote& note);

/// None when `toml` isn't a note.
std::optional<CaptureNote> parse_capture_note(std::string_view toml, std::int64_t host_us);

}  // namespace lobewright
