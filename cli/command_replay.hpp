// command_replay.hpp: `lobewright replay CAPTURE`.
#pragma once

#include <string>

#include "cli/commands.hpp"

namespace CLI {
class App;
}

namespace lobewright {

struct ReplayCommandOptions {
    std::string capture;
    std::string to;  // a file for one sweep, a folder for several; empty: only told
    std::string of;  // one lobe or journal; empty: all
    bool past_damage = false;
    bool json = false;
};

/// Adds the command to `app`; when it is parsed, its cross-checked options land in `action`. Opens nothing.
void setup_replay(CLI::App& app, Action& action);

/// Remakes the capture's sweeps, tells them, and writes them where asked; Exit::fit when that was done.
Exit run_replay(const ReplayCommandOptions& options);

}  // namespace lobewright
