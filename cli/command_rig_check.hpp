// command_rig_check.hpp: `lobewright rig-check`.
#pragma once

#include <string>

#include "cli/commands.hpp"
#include "cli/rig_side.hpp"

namespace CLI {
class App;
}

namespace lobewright {

struct RigCheckCommandOptions {
    RigSideOptions rig;
    std::string capture;  // judge this one instead of a connected rig
    std::string record;   // keep the bytes in this new capture
    std::string units;
    bool past_damage = false;
    bool json = false;
};

/// Adds the command to `app`; when it is parsed, its cross-checked options land in `action`. Opens nothing.
void setup_rig_check(CLI::App& app, Action& action);

/// Guides through the check, or reads a capture, and shows what was found. Exit::fit when every row passes, Exit::unfit
/// when one wants a look, Exit::undecided when something couldn't be told.
Exit run_rig_check(const RigCheckCommandOptions& options);

}  // namespace lobewright
