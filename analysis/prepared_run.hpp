// prepared_run.hpp: a run whose lobes are fitted curves and whose journals say how its axis moved: what every command
// that measures starts from.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "analysis/lobe/lobe_curve.hpp"
#include "analysis/lobe/lobe_on_grid.hpp"
#include "analysis/run/run.hpp"
#include "analysis/support/axis_motion.hpp"
#include "analysis/support/bench_set_up.hpp"
#include "analysis/support/journals.hpp"

namespace lobewright {

/// A run and what is known of the bench that it was taken on.
struct RunOnBench {
    const Run* run = nullptr;
    BenchSetUp set_up;
};

struct PreparedRun {
    const Run* run = nullptr;
    BenchSetUp set_up;
    std::vector<JournalCurve> journals;
    AxisMotion motion;
    std::vector<std::optional<LobeCurve>> curves;  // in the run's lobe order, none missing
    std::vector<std::string> notes;
};

/// Prepares runs of one cam, which must outlive the result; a base diameter that one lacks is taken from another.
/// `threads` 0: as many as the machine has cores. Throws DataError, naming run and lobe, when a lobe has no sweep, isn't
/// covered over a turn, or was read with a tip that needs a base diameter which isn't given.
std::vector<PreparedRun> prepare_runs(const std::vector<RunOnBench>& runs, unsigned threads);

/// The lobe of that name, or none.
const Lobe* find_lobe(const Run& run, const std::string& name);

}  // namespace lobewright
