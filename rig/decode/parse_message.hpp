// parse_message.hpp: the payload of a line whose check sum was true, to its fields: exact number of fields, whole-field
// numbers, ranges. What isn't exactly as docs/rig-protocol.md says is none.
#pragma once

#include <optional>
#include <string_view>

#include "rig/decode/rig_message.hpp"

namespace lobewright {

std::optional<RigMessage> parse_message(std::string_view payload);

}  // namespace lobewright
