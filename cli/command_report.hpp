// command_report.hpp: `lobewright report`: a cam's report as a page, and its charts as files.
#pragma once

#include <string>

#include "cli/commands.hpp"
#include "cli/output_options.hpp"

namespace lobewright {

struct ReportCommandOptions {
    std::string first;   // the run alone, or its reference
    std::string second;  // then the run; or empty
    OutputOptions output;
};

/// Adds the command to `app`; when it is parsed, its cross-checked options land in `action`. Opens nothing.
void setup_report(CLI::App& app, Action& action);

/// Reads, judges, writes the page and says where it is.
Exit run_report(const ReportCommandOptions& options);

}  // namespace lobewright
