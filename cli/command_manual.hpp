// command_manual.hpp: `lobewright manual FOLDER`: man pages and completions, for who packages the program. Not in the list of
// commands.
#pragma once

#include "cli/commands.hpp"

namespace CLI {
class App;
}

namespace lobewright {

/// Adds the command to `app`, whose other commands it writes down: it is added last.
void setup_manual(CLI::App& app, Action& action);

}  // namespace lobewright
