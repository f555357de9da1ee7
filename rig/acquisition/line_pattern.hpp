// line_pattern.hpp: what a rig.toml's regular expression may ask for.
#pragma once

#include <string_view>

namespace lobewright {

/// What std::regex can't be trusted with: it overflows on large numbers after a brace or a backslash (libstdc++ 12), and a
/// back-reference is nothing that an instrument's line asks for. Ready to stand after the key; empty: nothing.
std::string_view beyond_regex(std::string_view pattern);

}  // namespace lobewright
