// repeat_study.hpp: how well a bench repeats itself, from runs of one cam, and what change of a lobe it can prove.
//
// Each pass of each lobe is measured as if it were the only one (inspect_run); the scatter of its figures is taken
// apart into pass to pass (repeatability), set-up to set-up and operator to operator (nested_anova.hpp). To it
// comes what no repetition shows, from the same passes' budgets: the indicators' own error, step, smoothing, table,
// datum. Words as in ISO 5725-1 (from memory): repeatability, reproducibility; a run is a set-up.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "analysis/repeat/provable_change.hpp"
#include "analysis/repeat/repeat_figures.hpp"

namespace lobewright {

struct RepeatOptions {
    std::optional<double> want_mm;  // a change that is wanted proved; above 0
    unsigned threads = 0;           // 0: as many as the machine has cores
};

struct StudiedRun {
    RunInfo info;
    std::size_t least_passes = 0;  // of any lobe, as far as they could be measured
    std::size_t most_passes = 0;
};

/// A figure, the smallest change of it that the bench can prove when each state is measured once like these runs,
/// and, where a change was wanted, how to reach it. Stated for the lobe where what no repetition shows is largest.
struct StudiedChange {
    std::string_view key;
    Unrepeated unrepeated;
    ProvableChange smallest;
    std::optional<PassesNeeded> needed;
};

struct RepeatStudy {
    Units units = Units::mm;  // the first run's
    std::vector<StudiedRun> runs;
    std::size_t operators = 1;
    std::vector<RepeatedFigure> figures;
    StudiedChange lift;  // loss of lift
    std::optional<StudiedChange>
        ramp_taper;  // the worse of both ramps; none where runs with and without datum mix
    std::optional<double> error_limit_mm;  // the largest of the runs'; none where one doesn't give it
    std::vector<std::string> notes;
};

/// Throws as measure_passes does, and DataError when no two passes or runs are left that can be compared.
RepeatStudy study_repeat(const std::vector<Run>& runs, const RepeatOptions& options = {});

}  // namespace lobewright
