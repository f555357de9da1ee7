// command_card.hpp: `lobewright card RUN`.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/commands.hpp"
#include "cli/common_options.hpp"

namespace CLI {
class App;
}

namespace lobewright {

struct CardCommandOptions {
    std::string run;            // run folder
    std::vector<double> lifts;  // further lifts for durations, in the units shown
    std::optional<double> tdc_deg;
    std::vector<std::string> lobes;  // in full; none: the whole card
    std::string setup;               // set-up file of the bench, or empty
    std::string units;               // "mm", "in", or empty: the run's
    bool json = false;
    PageFile page;
};

/// Adds the command to `app`; when it is parsed, its cross-checked options land in `action`. Opens nothing.
void setup_card(CLI::App& app, Action& action);

/// Reads the run, measures and shows its card; Exit::fit when printed.
Exit run_card(const CardCommandOptions& options);

}  // namespace lobewright
