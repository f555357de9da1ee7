// run_toml.hpp: the text of run.toml to a Run without its sweeps, and back.
#pragma once

#include <cstddef>
#include <filesystem>
#include <string>
#include <string_view>

#include "analysis/run/run.hpp"

namespace lobewright {

/// A run of a hundred lobes with every key takes a tenth of this.
inline constexpr std::size_t most_run_toml_bytes = std::size_t{1} << 20;

/// Throws DataError that names `file`, line and key for anything that docs/run-folder.md doesn't allow.
Run parse_run_toml(std::string_view text, const std::filesystem::path& file);

/// Prints in the order of docs/run-folder.md, lengths in the run's own unit. What parse_run_toml made comes back bit
/// for bit; other lengths in inches within one unit of the last place.
std::string print_run_toml(const Run& run);

/// The shortest decimal text, with a point, that parse_run_toml turns into this length.
std::string length_text(double length_mm, Units units);

}  // namespace lobewright
