// command_thrust.hpp: `lobewright thrust RUN`.
#pragma once

#include "cli/commands.hpp"
#include "cli/contact_options.hpp"

namespace CLI {
class App;
}

namespace lobewright {

/// Adds the command to `app`; when it is parsed, its cross-checked options land in `action`. Opens nothing.
void setup_thrust(CLI::App& app, Action& action);

/// Reads the run, works out and shows; Exit::fit when printed.
Exit run_thrust(const ContactCommandOptions& options);

}  // namespace lobewright
