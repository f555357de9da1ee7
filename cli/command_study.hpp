// command_study.hpp: `lobewright study FOLDER...`: many runs, a line of JSON each; and the summary of such lines.
#pragma once

#include <string>
#include <vector>

#include "cli/commands.hpp"
#include "cli/common_options.hpp"

namespace CLI {
class App;
}

namespace lobewright {

struct StudyCommandOptions {
    std::vector<std::string> folders;  // searched for runs
    std::string list;                  // a file of runs or pairs, "-" for standard input, or empty
    bool plan = false;                 // only print that list
    std::string out;                   // a file of lines, or empty: standard output
    bool resume = false;
    std::string units;  // "mm", "in", or empty: each used run's; of a summary: mm
    std::string limits;
    std::string setup;
    std::string reference_setup;
    unsigned threads = 0;              // 0: as many as the machine has cores
    std::vector<std::string> summary;  // files of lines to sum up instead
    bool json = false;                 // of a summary
    PageFile page;                     // of a summary; `overwrite` goes for `out` too
};

/// Adds the command to `app`; when it is parsed, its cross-checked options land in `action`. Opens nothing.
void setup_study(CLI::App& app, Action& action);

/// Exit::fit when every run was judged, whatever the verdicts; the highest exit status among the failures otherwise;
/// Exit::undecided when it was ended early.
Exit run_study(const StudyCommandOptions& options);

}  // namespace lobewright
