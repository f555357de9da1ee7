#include "cli/command_axis.hpp"

#include <memory>

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <fmt/format.h>

#include "analysis/axis/axis_report.hpp"
#include "analysis/run/run_folder.hpp"
#include "cli/common_options.hpp"
#include "cli/output.hpp"
#include "cli/present_axis.hpp"
#include "cli/progress.hpp"

namespace lobewright {
namespace {

constexpr auto axis_examples = R"(How round the journals are, how straight the cam is, where its bend lies at
every lobe, and what runout straightening would leave. Needs sweeps of the
journals: those in the V-blocks for what they move the cam by, the others for
the bend.

Examples:
  lobewright axis launch-4-new
      journals, bend, and every lobe's axis
  lobewright axis launch-4-new --cutoff 50
      roundness with finer undulations counted
  lobewright axis pump-6-used --setup side.toml
      read with the indicators at the cam's side
  lobewright axis launch-4-new --json
      everything, with each journal's undulations, for a program

Exit status: 0 printed; 64 usage; 65 bad data; 66 no such input; 74 input or
output failed.)";

}  // namespace

void setup_axis(CLI::App& app, Action& action) {
    auto options = std::make_shared<AxisCommandOptions>();
    CLI::App* command = app.add_subcommand("axis", "Show journals, bend, and what straightening leaves");
    command->add_option("RUN", options->run, "run of the cam")->type_name("FOLDER")->required();
    command->add_option("--cutoff", options->cutoff_upr, "roundness: undulations a turn that count half (15)")
        ->type_name("N");
    add_setup_option(*command, options->setup);
    add_units_option(*command, options->units, "the run");
    add_json_option(*command, options->json);
    command->group("Commands");
    command->footer(axis_examples);
    command->callback([options, &action] { action = [options] { return run_axis(*options); }; });
}

Exit run_axis(const AxisCommandOptions& options) {
    AxisOptions analysis;
    analysis.cutoff_upr = options.cutoff_upr;
    analysis.set_up = set_up_of(options.setup);
    const AxisReport report = [&] {
        const Progress progress(fmt::format("measuring {}", options.run));
        return axis_report(read_run(options.run), analysis);
    }();
    const Units units = units_or(options.units, report.units);
    write_stdout(options.json ? present_axis_json(report, units) : present_axis(report, units));
    return Exit::fit;
}

}  // namespace lobewright
