// study.hpp: many runs judged on all cores, each by itself: one that can't be judged is told with its failure and
// stops nothing. Nothing of a run is kept once it was told, so memory doesn't grow with their number.
#pragma once

#include <atomic>
#include <cstddef>
#include <functional>
#include <optional>
#include <vector>

#include "analysis/errors.hpp"
#include "analysis/figures.hpp"
#include "analysis/judge/judgement.hpp"
#include "analysis/judge/tappets.hpp"
#include "analysis/run/run.hpp"
#include "analysis/study/study_plan.hpp"
#include "analysis/support/bench_set_up.hpp"

namespace lobewright {

struct StudyOptions {
    Limits limits;
    std::optional<Units> units;  // of what is said; otherwise each used run's own
    BenchSetUp used;             // the bench of every run that is judged
    BenchSetUp reference;        // and of every reference
    unsigned threads = 0;        // 0: as many as the machine has cores
};

/// One run judged, or why it wasn't. All but `item`, `failure` and `seconds` is empty where it failed.
struct JudgedRun {
    const StudyItem* item = nullptr;
    std::optional<Error> failure;
    double seconds = 0.0;  // by the clock on the wall, of reading and judging it
    Run used;              // without its sweeps
    CamFigures figures;
    CamJudgement judgement;  // its lobes' notes have the tappets' fates too, as `compare --json` has
    std::vector<TappetPlace> tappets;
};

/// Reads and judges one run as `compare` or `inspect` does, on `threads` threads. Throws nothing: what goes wrong is its
/// failure.
JudgedRun study_run(const StudyItem& item, const StudyOptions& options, unsigned threads);

/// Judges the items and tells each to `done`, in the order in which they end, on whatever thread judged it: `done` guards
/// itself. Begins none once `stop` is set. A run has one thread to itself; where fewer runs are left than threads, the
/// last ones share those. What `done` throws ends the study and is thrown again.
void study(const std::vector<StudyItem>& items, const StudyOptions& options,
           const std::function<void(const JudgedRun&)>& done, const std::atomic<bool>& stop);

}  // namespace lobewright
