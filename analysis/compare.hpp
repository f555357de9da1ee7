// compare.hpp: the main job's two calls: run folders in memory in, figures out.
#pragma once

#include <cstddef>

#include "analysis/figures.hpp"
#include "analysis/run/run.hpp"
#include "analysis/support/bench_set_up.hpp"

namespace lobewright {

struct AnalysisOptions {
    std::size_t curve_points = 720;  // points of LobeCurves; at least 36
    std::size_t wear_u95_each = 0;   // u95 of the wear curves at every so manieth point; 0: nowhere
    double flat_taper_mm = 0.003;    // the flat limit for flat_arc_deg (Limits::flat_taper_mm)
    unsigned threads = 0;            // 0: as many as the machine has cores
    BenchSetUp used;                 // the bench of the used run, or of the only one
    BenchSetUp reference;            // and of its reference
};

/// Figures of a used cam against its reference run (docs/measuring.md sections 1 to 5 and 7). Lobes in the used run's
/// order. Throws DataError when a lobe stands in one run only, has no sweep, isn't covered over a turn, or
/// was measured with a tip that isn't supported; the text names run and lobe.
CamFigures compare_runs(const Run& reference, const Run& used, const AnalysisOptions& options = {});

/// Figures of one run alone: the same less what needs a reference.
CamFigures inspect_run(const Run& run, const AnalysisOptions& options = {});

}  // namespace lobewright
