// command_thrust.hpp: `lobewright thrust RUN`.
#pragma once

#include <string>

#include "analysis/contact/loaded_lobe.hpp"
#include "cli/commands.hpp"

namespace CLI {
class App;
}

namespace lobewright {

struct ThrustCommandOptions {
    std::string run;  // run folder

    Running running;    // speed and mass, or nothing
    std::string setup;  // set-up file of the bench, or empty
    std::string units;  // "mm", "in", or empty: the run's
    bool json = false;
};

/// Adds the command to `app`; when it is parsed, its cross-checked options land in `action`. Opens nothing.
void setup_thrust(CLI::App& app, Action& action);

/// Reads the run, works out and shows; Exit::fit when printed.
Exit run_thrust(const ThrustCommandOptions& options);

}  // namespace lobewright
