// history.hpp: one cam over its running hours: lift lost and taper left, lobe by lobe, how fast they go, and when a limit
// is reached at that rate, where the data say so (docs/history.md).
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "analysis/figures.hpp"
#include "analysis/history/rate_fit.hpp"
#include "analysis/judge/limits.hpp"
#include "analysis/run/run.hpp"

namespace lobewright {

/// One figure of one lobe over the runs; unknown where a run can't say it.
struct FigureHistory {
    std::vector<AtHours> at;  // mm, a value a run
    double limit_mm = 0.0;
    RateFit fit;
    bool passed = false;                  // the last value is proved to lie beyond the limit
    std::optional<LimitReached> reached;  // not when it has passed
    bool far = false;  // reached later than thrice the hours measured lead on: no more than a guess
};

struct LobeHistory {
    std::string name;
    LobeKind kind = LobeKind::other;
    FigureHistory lift_loss;   // since the first run
    FigureHistory nose_wear;   // since the first run; no limit, so never reached
    FigureHistory ramp_taper;  // the lesser ramp's, toward the lobe's high side; flat followers
};

struct History {
    Units units = Units::mm;    // the first run's
    std::vector<RunInfo> runs;  // by hours
    std::vector<double> hours;
    std::vector<LobeHistory> lobes;
    std::vector<std::string> notes;
};

/// Hours of a run; a new cam, or one before its run-in, has none on it unless it says otherwise. Throws DataError, naming
/// the run, where they aren't known.
double hours_of(const Run& run);

/// Two runs of one cam or more, in any order. Throws DataError when hours are missing or the same twice, and what
/// compare_runs throws.
History history_of(const std::vector<Run>& runs, const Limits& limits, unsigned threads = 0);

}  // namespace lobewright
