// repeat_passes.hpp: the figures of every pass of every lobe in runs of one cam, each pass measured as if it were the
// only one.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "analysis/figures.hpp"
#include "analysis/run/run.hpp"

namespace lobewright {

struct MeasuredPass {
    std::size_t lobe = 0;  // in the first run's order
    std::size_t run = 0;   // in the order given
    int pass = 1;
    LobeFigures figures;
};

struct MeasuredPasses {
    std::vector<std::string> lobes;
    std::vector<MeasuredPass> passes;  // by run, then pass, then lobe
    std::vector<std::string> notes;    // passes that couldn't be measured alone, and why
};

/// Throws DataError, naming the runs, when they can't be of one cam in one state (lobes, follower, condition or
/// hours differ), when one is given twice, when a lobe has no sweep, when there are neither two runs nor two passes
/// of a lobe, and what inspect_run throws when no pass of a run can be measured alone. `threads` as in
/// AnalysisOptions.
MeasuredPasses measure_passes(const std::vector<Run>& runs, unsigned threads);

}  // namespace lobewright
