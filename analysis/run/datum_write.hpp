// datum_write.hpp: puts a front-to-rear zero into a run.toml that is there already, and leaves every other line as it is.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>

#include "analysis/run/run.hpp"

namespace lobewright {

/// The text with `[datum]` replaced, or put before the first list where there was none. Throws DataError naming `file` when
/// the text isn't a run.toml, or keeps its datum in a form that can't be replaced line by line.
std::string with_datum(std::string_view text, const DatumInfo& datum, const std::filesystem::path& file);

/// The same in the folder's run.toml, whole or not at all; what stood there is kept beside it as run.toml.1 (.2, ...), and
/// its name comes back. Throws what reading the file throws, and IoError.
std::filesystem::path write_datum(const std::filesystem::path& folder, const DatumInfo& datum);

}  // namespace lobewright
