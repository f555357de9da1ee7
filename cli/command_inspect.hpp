// command_inspect.hpp: `lobewright inspect RUN`.
#pragma once

#include <string>

#include "cli/commands.hpp"
#include "cli/output_options.hpp"

namespace lobewright {

struct InspectOptions {
    std::string run;  // run folder
    OutputOptions output;
};

/// Adds the command to `app`; when it is parsed, its cross-checked options land in `action`. Opens nothing.
void setup_inspect(CLI::App& app, Action& action);

/// Reads the run, measures and judges what one run alone can tell, shows it; returns the verdict's exit
/// status.
Exit run_inspect(const InspectOptions& options);

}  // namespace lobewright
