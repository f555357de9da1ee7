// command_sweep.hpp: `lobewright sweep RUN [LOBE|JOURNAL ...]`.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/bench/bench_page.hpp"
#include "cli/commands.hpp"
#include "cli/new_run.hpp"
#include "cli/rig_side.hpp"

namespace CLI {
class App;
}

namespace lobewright {

struct SweepCommandOptions {
    std::string run;                  // run folder, there or to be made
    std::vector<std::string> places;  // lobes and journals; none: all of them
    RigSideOptions rig;
    NewRunOptions fresh;
    std::optional<double> overlap_deg;
    bool turn = false;
    double turn_deg_per_s = 10.0;
    bool page = false;  // served to browsers
    BenchPageOptions page_at;
    bool plain = false;
    bool no_colour = false;
};

/// Adds the command to `app`; when it is parsed, its cross-checked options land in `action`. Opens nothing.
void setup_sweep(CLI::App& app, Action& action);
/// `lobewright bench`: the same with the page.
void setup_bench(CLI::App& app, Action& action);

/// Sweeps until the operator ends it. Exit::fit when everything named has a whole sweep then, Exit::undecided when not.
Exit run_sweep(const SweepCommandOptions& options);

}  // namespace lobewright
