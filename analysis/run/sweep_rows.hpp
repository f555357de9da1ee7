// sweep_rows.hpp: the rows of a sweep file, the bulk of every run (some million rows), in one pass.
#pragma once

#include <filesystem>
#include <string_view>

#include "analysis/run/run.hpp"
#include "analysis/run/sweep_header.hpp"

namespace lobewright {

/// Appends every row below `header` to the sweep's columns, lengths in mm from `units`. Numbers are the
/// doubles nearest to their decimals. Throws DataError naming `file`, line and column for a cell that isn't
/// one.
void parse_sweep_rows(std::string_view text, const SweepHeader& header, const std::filesystem::path& file,
                      Units units, Sweep& sweep);

}  // namespace lobewright
