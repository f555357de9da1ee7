// capture_format.hpp: one record of a capture as bytes, and its first record as text (docs/capture.md).
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "rig/capture/capture_reader.hpp"

namespace lobewright {

inline constexpr std::string_view meta_port = "meta";

/// Appends `@<host_us> <port> <n> <crc>` LF, the bytes, LF.
void append_record(std::string& out, std::int64_t host_us, std::string_view port, std::string_view bytes);

std::string print_capture_head(const CaptureHead& head);

/// Throws DataError; `name` is for messages.
CaptureHead parse_capture_head(std::string_view toml, const std::string& name);

/// Microseconds of the steady clock that stamps captures.
std::int64_t steady_now_us();

/// NAME-2.cap behind NAME.cap: where a capture goes on for the `part`-th time.
std::filesystem::path capture_part(const std::filesystem::path& first, unsigned part);

}  // namespace lobewright
