// sweep_place.hpp: what a run and its sweeps must have of each other.
#pragma once

#include <vector>

#include "analysis/run/run.hpp"
#include "analysis/run/sweep_text.hpp"

namespace lobewright {

/// Puts the sweeps into the run in the order that Run asks for. Throws DataError, naming the files, for a
/// sweep of a thing that the run lacks, a reading that its lobe needs, counts without counts_per_rev, and a
/// pass that stands twice.
void place_sweeps(std::vector<SweepText> sweeps, Run& run);

}  // namespace lobewright
