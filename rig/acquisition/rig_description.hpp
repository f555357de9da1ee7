// rig_description.hpp: what the rig consists of (docs/rig-description.md): one controller that latches count and
// indicators together, or a counter and one or two indicators that know nothing of each other. Plain values.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "rig/transport/port_settings.hpp"

namespace lobewright {

/// What a device is in the rig; its name in a capture and in rig.toml is role_name's.
enum class DeviceRole { controller, counter, front, rear };

/// "controller", "counter", "front", "rear".
std::string_view role_name(DeviceRole role);

/// A clock that a stand-alone device sends with its readings.
struct DeviceClock {
    std::string pattern;  // regular expression with one capture: the ticks
    double us_per_tick = 1.0;
    std::uint64_t wraps = 0;  // ticks start again at 0 when they reach this; 0: never
};

/// How a stand-alone device speaks.
struct LineFormat {
    std::string pattern;       // regular expression with one capture: the value; it must match the whole line
    double mm_per_unit = 1.0;  // indicators
    int sign = 1;              // -1: the reading falls as the tip goes out, or the counts fall
    std::optional<int> decimals;  // digits after the mark; none: as the first reading has it
    std::string ask;              // what makes it send a reading; empty: it streams
    double ask_every_ms = 50.0;
    double latency_us = 0.0;                   // from the moment that a reading stands for to its first byte
    double latency_u_us = 0.0;                 // its standard uncertainty
    std::optional<std::string> index_pattern;  // counter: a line that tells the count at the index mark
    std::optional<DeviceClock> clock;
};

struct DeviceDescription {
    DeviceRole role = DeviceRole::controller;
    PortSettings port;
    LineFormat line;  // not of a controller, whose protocol is docs/rig-protocol.md
};

struct RigDescription {
    std::vector<DeviceDescription> devices;  // one controller; or counter, front, rear as far as there
    std::int64_t counts_per_rev = 0;         // of a stand-alone counter; a controller tells its own
    [[nodiscard]] bool latched() const {
        return devices.size() == 1 && devices.front().role == DeviceRole::controller;
    }
};

/// The short form: a controller on `port`.
RigDescription controller_on(const std::string& port, int baud = 921600);

/// Reads rig.toml. Throws NoInputError, IoError, or DataError naming file, line and key for an unknown key, a wrong
/// type, a value that can't be, a pattern that isn't a regular expression with one capture.
RigDescription read_rig_description(const std::filesystem::path& file);

/// The same from text; `file` names it in errors.
RigDescription parse_rig_description(std::string_view text, const std::filesystem::path& file);

/// The text of a rig.toml that parse_rig_description turns into the same description.
std::string print_rig_description(const RigDescription& rig);

}  // namespace lobewright
