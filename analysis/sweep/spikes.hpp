// spikes.hpp: isolated readings that stand far off their neighbours (docs/measuring.md section 1).
#pragma once

#include <vector>

#include "analysis/sweep/clean_sweep.hpp"

namespace lobewright {

/// Takes rows out whose front or rear reading is a spike and records them. A reading is one when it differs
/// from the median of the five around it by more than 8 standard deviations of the noise and 4 indicator
/// steps; the noise is the median absolute second difference, so that neither flanks nor the spikes
/// themselves enter it. `resolution_mm` is the indicator step (0: unknown). In a table the neighbours lie
/// degrees apart and only the difference of the two readings is smooth enough to test; the edge that jumps
/// from its own line is the one taken. Source of the test: the Hampel identifier, F. R. Hampel (1974), from
/// memory.
void take_spikes_out(Samples& rows, double resolution_mm, bool table, std::vector<Spike>& spikes);

}  // namespace lobewright
