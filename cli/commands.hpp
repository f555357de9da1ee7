// commands.hpp: the command line as a whole: which commands there are, and which one was asked for.
#pragma once

#include <functional>

#include "analysis/errors.hpp"

namespace lobewright {

/// What a command does once its options are known to make sense; the status of the program comes back.
using Action = std::function<Exit()>;

/// Parses the command line and returns what it asks for: a command, or help or the version to print. Opens
/// nothing. Throws UsageError when it can't be understood; the text says what would do.
Action choose_action(int argc, const char* const* argv);

}  // namespace lobewright
