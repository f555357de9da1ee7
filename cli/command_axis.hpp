// command_axis.hpp: `lobewright axis RUN`.
#pragma once

#include <string>

#include "cli/commands.hpp"

namespace CLI {
class App;
}

namespace lobewright {

struct AxisCommandOptions {
    std::string run;    // run folder
    std::string setup;  // set-up file, or empty: an indicator over the cam
    std::string units;  // "mm", "in", or empty: the run's
    double cutoff_upr = 15.0;
    bool json = false;
};

/// Adds the command to `app`; when it is parsed, its options land in `action`. Opens nothing.
void setup_axis(CLI::App& app, Action& action);

/// Reads the run and shows what its journals and heels say of the cam's axis; Exit::fit when printed.
Exit run_axis(const AxisCommandOptions& options);

}  // namespace lobewright
