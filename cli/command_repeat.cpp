#include "cli/command_repeat.hpp"

#include <cmath>
#include <memory>
#include <utility>

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <fmt/format.h>

#include "analysis/repeat/repeat_study.hpp"
#include "analysis/run/run_folder.hpp"
#include "cli/common_options.hpp"
#include "cli/output.hpp"
#include "cli/present_repeat.hpp"
#include "cli/progress.hpp"

namespace lobewright {
namespace {

constexpr auto repeat_examples =
    R"(Give runs of one cam in one state: several passes in a run, and several runs
with the cam lifted out and set up afresh between them, by whoever uses the
bench ([run] operator). Two passes of one lobe, or two runs, are the least.

Examples:
  lobewright repeat launch-4-new
      how far two passes of one set-up differ
  lobewright repeat mon-a mon-b tue-a tue-b
      how far set-ups and operators differ, and the smallest wear that shows
  lobewright repeat mon-a mon-b --want 0.003
      how many passes and set-ups it takes to prove a change of 0.003 mm
  lobewright repeat mon-a mon-b --json
      every variance with its limits, for a program

Exit status: 0 printed; 64 usage; 65 bad data, or nothing is repeated; 66 no
such input; 74 input or output failed.)";

void check_options(const RepeatCommandOptions& options) {
    if (options.want && !(std::isfinite(*options.want) && *options.want > 0.0)) {
        throw UsageError(fmt::format("--want {}: must be a length above 0", *options.want));
    }
}

}  // namespace

void setup_repeat(CLI::App& app, Action& action) {
    auto options = std::make_shared<RepeatCommandOptions>();
    CLI::App* command = app.add_subcommand("repeat", "Show how well runs repeat, and what wear they prove");
    command->add_option("RUN", options->runs, "runs of one cam")->type_name("FOLDER")->required();
    command->add_option("--want", options->want, "a change to be proved: how many passes does it take?")
        ->type_name("LENGTH");
    add_units_option(*command, options->units, "the first run");
    add_json_option(*command, options->json);
    command->group("Commands");
    command->footer(repeat_examples);
    command->callback([options, &action] {
        check_options(*options);
        action = [options] { return run_repeat(*options); };
    });
}

Exit run_repeat(const RepeatCommandOptions& options) {
    const RepeatStudy study = [&] {
        const Progress progress(fmt::format("measuring every pass of {} runs", options.runs.size()));
        std::vector<Run> runs;
        for (const std::string& folder : options.runs) runs.push_back(read_run(folder));
        RepeatOptions how;
        const Units units = units_or(options.units, runs.front().units);
        if (options.want) how.want_mm = *options.want * mm_per(units);
        RepeatStudy studied = study_repeat(runs, how);
        studied.units = units;
        return studied;
    }();
    write_stdout(options.json ? present_repeat_json(study) : present_repeat(study));
    return Exit::fit;
}

}  // namespace lobewright
