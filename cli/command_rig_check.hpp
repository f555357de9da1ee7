// command_rig_check.hpp: `lobewright rig-check`.
#pragma once

#include <string>

#include "cli/commands.hpp"

namespace CLI {
class App;
}

namespace lobewright {

struct RigCheckOptions {
    std::string port;     // a controller's, or empty
    std::string rig;      // rig.toml, or empty
    std::string capture;  // one to look at instead of a live rig, or empty
    std::string record;   // capture to make, or empty
    int baud = 921600;
    bool json = false;
};

/// Adds the command to `app`; when it is parsed, its cross-checked options land in `action`. Opens nothing.
void setup_rig_check(CLI::App& app, Action& action);

/// Guides through the check, or looks at a capture; Exit::fit when nothing needs a look, Exit::unfit when something does,
/// Exit::undecided when too little was turned to tell.
Exit run_rig_check(const RigCheckOptions& options);

}  // namespace lobewright
