// sweep_notes.hpp: what was noticed in a lobe's sweeps, in words: nothing is left out of the figures in silence.
#pragma once

#include <string>
#include <vector>

#include "analysis/lobe/legs.hpp"
#include "analysis/lobe/slips.hpp"
#include "analysis/sweep/clean_sweep.hpp"

namespace lobewright {

/// One sentence a finding, each beginning with its pass. `offsets` belong to the sweeps one by one.
std::vector<std::string> sweep_notes(const std::vector<CleanSweep>& sweeps,
                                     const std::vector<FoundSlip>& slips,
                                     const std::vector<PassOffset>& offsets);

}  // namespace lobewright
