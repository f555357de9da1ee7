// command_history.hpp: `lobewright history RUN RUN...`.
#pragma once

#include <string>
#include <vector>

#include "cli/commands.hpp"
#include "cli/common_options.hpp"

namespace CLI {
class App;
}

namespace lobewright {

struct HistoryCommandOptions {
    std::vector<std::string> runs;  // run folders of one cam
    std::string limits;             // a limits file, or empty: the built-in ones
    std::string units;              // "mm", "in", or empty: the first run's
    bool json = false;
    PageFile page;
};

/// Adds the command to `app`; when it is parsed, its cross-checked options land in `action`. Opens nothing.
void setup_history(CLI::App& app, Action& action);

/// Reads the runs, measures and shows; Exit::fit when printed.
Exit run_history(const HistoryCommandOptions& options);

}  // namespace lobewright
