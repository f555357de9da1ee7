// toml_file.hpp: one way to TOML for every file of ours. The settings must be the same wherever toml++ is
// included.
#pragma once

#define TOML_HEADER_ONLY 1
#define TOML_EXCEPTIONS 0
#define TOML_ENABLE_FORMATTERS 0
// toml++ asserts what a wrong file can break, with the handling of it right behind the assertion.
#define TOML_ASSERT(condition) static_cast<void>(0)
// A list of lobes, each with a list of stripes, needs four.
#define TOML_MAX_NESTED_VALUES 6

#include <filesystem>
#include <string_view>

#include <toml++/toml.h>

namespace lobewright {

/// Parses the text of `file`. Throws DataError naming file and line for anything that isn't TOML, and for
/// keys of more than 16 points.
toml::table parse_toml(std::string_view text, const std::filesystem::path& file);

}  // namespace lobewright
