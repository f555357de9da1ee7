// capture_reader.hpp: a capture back to its records (docs/capture.md). A torn last record is dropped, with a note.
// Damage before the end is an error that says where, unless what lies around it is asked for.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "rig/acquisition/rig_description.hpp"

namespace lobewright {

/// One record; the views live as long as the call that gives them.
struct CaptureRecord {
    std::int64_t host_us = 0;
    std::string_view port;
    std::string_view bytes;
};

/// What a capture's first record says.
struct CaptureHead {
    std::string wall_time;  // RFC 3339, UTC
    RigDescription rig;
    std::string continues;            // the file that this one goes on from, or empty
    std::uint64_t records_there = 0;  // how many records of that file come before this one's
};

enum class PastDamage { refuse, read_on };

struct CaptureContents {
    CaptureHead head;
    std::uint64_t records = 0;       // with the first
    std::vector<std::string> notes;  // torn tail, damage: one line each
};

/// Gives every record after the first, in order, to `take`. Follows NAME-2.cap and so on. Throws NoInputError, IoError, or
/// DataError for what isn't a capture or, when refused, for damage: file, byte, what is wrong.
CaptureContents read_capture(const std::filesystem::path& file, PastDamage past_damage,
                             const std::function<void(const CaptureRecord&)>& take);

/// What the first record says. Throws as read_capture does.
CaptureHead read_capture_head(const std::filesystem::path& file);

/// read_capture for bytes in memory, without following; `name` is for messages.
CaptureContents read_capture_bytes(std::string_view bytes, const std::string& name, PastDamage past_damage,
                                   const std::function<void(const CaptureRecord&)>& take);

}  // namespace lobewright
