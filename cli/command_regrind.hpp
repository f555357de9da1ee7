// command_regrind.hpp: `lobewright regrind USED --target TARGET`.
#pragma once

#include <optional>
#include <string>

#include "cli/commands.hpp"

namespace CLI {
class App;
}

namespace lobewright {

struct RegrindCommandOptions {
    std::string used;             // run folder
    std::string target;           // run folder, profile file, or a folder of them
    double shift_deg = 0.5;       // that a lobe may turn from its place
    std::optional<double> taper;  // size, in the units shown
    std::string table;            // folder for the grinder's tables, or empty: none
    std::optional<double> step_deg;
    bool overwrite = false;
    std::string limits;
    std::string setup, reference_setup;
    std::string units;  // "mm", "in", or empty: the used run's
    bool json = false;
    std::string report;  // a file, or empty: none
    bool no_color = false;
};

/// Adds the command to `app`; when it is parsed, its cross-checked options land in `action`. Opens nothing.
void setup_regrind(CLI::App& app, Action& action);

/// Reads the run and its target, plans the regrind and shows it; the exit status of the verdict.
Exit run_regrind(const RegrindCommandOptions& options);

}  // namespace lobewright
