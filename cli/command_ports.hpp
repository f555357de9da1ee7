// command_ports.hpp: `lobewright ports`.
#pragma once

#include "cli/commands.hpp"

namespace CLI {
class App;
}

namespace lobewright {

/// Adds the command to `app`; when it is parsed it lands in `action`. Opens nothing.
void setup_ports(CLI::App& app, Action& action);

/// Lists the serial ports; Exit::fit when printed, also when there are none.
Exit run_ports(bool json);

}  // namespace lobewright
