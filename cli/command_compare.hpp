// command_compare.hpp: `lobewright compare REFERENCE USED`.
#pragma once

#include <string>

#include "cli/commands.hpp"
#include "cli/output_options.hpp"

namespace lobewright {

struct CompareOptions {
    std::string reference;  // run folders
    std::string used;
    OutputOptions output;
};

/// Adds the command to `app`; when it is parsed, its cross-checked options land in `action`. Opens nothing.
void setup_compare(CLI::App& app, Action& action);

/// Reads both runs, compares, judges, shows; returns the verdict's exit status.
Exit run_compare(const CompareOptions& options);

}  // namespace lobewright
