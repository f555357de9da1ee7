// command_repeat.hpp: `lobewright repeat RUN [RUN...]`.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/commands.hpp"

namespace CLI {
class App;
}

namespace lobewright {

struct RepeatCommandOptions {
    std::vector<std::string> runs;  // run folders of one cam
    std::optional<double> want;     // in the units that are shown
    std::string units;              // "mm", "in", or empty: the first run's
    bool json = false;
};

/// Adds the command to `app`; when it is parsed, its cross-checked options land in `action`. Opens nothing.
void setup_repeat(CLI::App& app, Action& action);

/// Reads the runs, studies how they repeat, and shows it; Exit::fit when printed.
Exit run_repeat(const RepeatCommandOptions& options);

}  // namespace lobewright
