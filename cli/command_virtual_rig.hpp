// command_virtual_rig.hpp: `lobewright virtual-rig`: a rig that isn't there, to learn and to test with.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "cli/commands.hpp"

namespace CLI {
class App;
}

namespace lobewright {

struct VirtualRigCommandOptions {
    std::string cam = "launch-4-new";
    std::string place;
    std::string pty;      // link, or empty
    int tcp = -1;         // port, or -1
    std::string devices;  // folder of stand-alone devices, or empty: a controller
    bool polled = false;
    bool motor = false;
    bool still = false;
    double hand_deg_per_s = 20.0;
    double start_deg = -30.0;
    std::string script;
    std::string control;
    std::vector<std::string> faults;
    std::uint64_t seed = 1;
    std::string speed = "1";
    int baud = 0;
    std::string truth;
};

/// Adds the command to `app`; when it is parsed, its cross-checked options land in `action`. Opens nothing.
void setup_virtual_rig(CLI::App& app, Action& action);

/// Serves until it is told to end; Exit::fit then.
Exit run_virtual_rig(const VirtualRigCommandOptions& options);

}  // namespace lobewright
