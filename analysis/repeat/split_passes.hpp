// split_passes.hpp: a run with several passes taken apart into runs of one pass each, as if nobody had swept twice.
#pragma once

#include <string>
#include <vector>

#include "analysis/run/run.hpp"

namespace lobewright {

/// One run for each pass number that any lobe was swept with, in rising order: the lobes that have that pass with
/// that sweep alone, and all sweeps of the journals, which tell how the axis moves in every pass alike. A lobe
/// without any sweep stands in none of them.
std::vector<Run> split_passes(const Run& run);

/// Whether a lobe of that name is in the run.
bool has_lobe(const Run& run, const std::string& name);

/// The run with this one lobe in it, and its journals.
Run only_lobe(const Run& run, const std::string& lobe);

}  // namespace lobewright
