// command_budget.hpp: `lobewright budget RUN`.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "cli/commands.hpp"

namespace CLI {
class App;
}

namespace lobewright {

struct BudgetOptions {
    std::string run;                 // run folder
    std::string against;             // run folder of the reference, or empty: the run alone
    std::vector<std::string> lobes;  // in full; none: the figures that decide
    std::string setup;               // set-up files, or empty: an indicator over the cam
    std::string reference_setup;
    std::string units;  // "mm", "in", or empty: the run's
    bool json = false;
    std::optional<std::int64_t> draws;  // check +/- by so many
    std::optional<std::uint64_t> seed;  // of the draws
};

/// Adds the command to `app`; when it is parsed, its cross-checked options land in `action`. Opens nothing.
void setup_budget(CLI::App& app, Action& action);

/// Reads the run, or both, measures, draws where asked to, and shows where each figure's uncertainty comes
/// from; Exit::fit when printed.
Exit run_budget(const BudgetOptions& options);

}  // namespace lobewright
