// sweep_file.hpp: the text of a sweep's file as a run folder of this unit and indicator step has it: one form for every
// writer, so that the same sweep is the same file.
#pragma once

#include <optional>
#include <string>

#include "analysis/run/run.hpp"

namespace lobewright {

/// Lengths carry as many decimals as the indicators' step has (7 where none is given), and more where a reading needs them.
/// Throws what print_sweep throws.
std::string sweep_file_text(const Sweep& sweep, Units units, const std::optional<double>& resolution_mm);

}  // namespace lobewright
