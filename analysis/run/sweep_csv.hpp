// sweep_csv.hpp: one sweep as CSV text (docs/run-folder.md, "A sweep"): parse and print.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>

#include "analysis/run/run.hpp"

namespace lobewright {

/// Parses the text of one sweep file. Lengths become mm from `units`. One pass over the bytes, no stream
/// extraction per cell. Accepts comma or semicolon, decimal comma with semicolons, LF or CRLF, a BOM, columns
/// in any order. Throws DataError naming `file`, line and column for anything else. Doesn't know which lobes
/// and journals exist: read_run checks `of` and passes.
Sweep parse_sweep(std::string_view text, const std::filesystem::path& file, Units units);

/// Prints a sweep in docs/run-folder.md's plain form (comma, point, LF). `length_decimals` is the decimals of lengths
/// in `units`. Throws DataError for a sweep that no file can hold: no rows, columns of unequal length, a NaN.
std::string print_sweep(const Sweep& sweep, Units units, int length_decimals);

}  // namespace lobewright
