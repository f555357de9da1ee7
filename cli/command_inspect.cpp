#include "cli/command_inspect.hpp"

#include <memory>
#include <utility>

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <fmt/format.h>

#include "analysis/compare.hpp"
#include "analysis/run/run_folder.hpp"
#include "cli/common_options.hpp"
#include "cli/progress.hpp"

namespace lobewright {
namespace {

constexpr auto inspect_examples =
    R"(Judges what one run can tell: ramp taper, base-circle runout, bend. Lift loss,
wear and the stock to clean up need a reference: see lobewright compare.

Examples:
  lobewright inspect launch-4-used
      what can be said of a cam that was never measured new
  lobewright inspect launch-4-new --lobe 1E
      every figure of one lobe, with its uncertainty
  lobewright inspect launch-4-new --csv curves --curve-points 3600
      lift and taper around each lobe, ten points a degree
  lobewright inspect launch-4-used --json
      everything, for a program

Exit status: 0 fit to reuse, as far as one run alone tells; 1 not fit; 2 measure
again; 64 usage; 65 bad data; 66 no such input; 74 input or output failed.)";

}  // namespace

void setup_inspect(CLI::App& app, Action& action) {
    auto options = std::make_shared<InspectOptions>();
    CLI::App* command = app.add_subcommand("inspect", "Judge what one run alone can tell");
    command->add_option("RUN", options->run, "run of the cam")->type_name("FOLDER")->required();
    add_output_options(*command, options->output);
    command->group("Commands");
    command->footer(inspect_examples);
    command->callback([options, &action] {
        check_output_options(options->output);
        action = [options] { return run_inspect(*options); };
    });
}

Exit run_inspect(const InspectOptions& options) {
    const Limits limits = limits_of(options.output);
    auto [figures, run] = [&] {
        const Progress progress(fmt::format("inspecting {}", options.run));
        Run run_read = read_run(options.run);
        run_read.units = units_or(options.output.units, run_read.units);
        CamFigures inspected = inspect_run(run_read, analysis_of(options.output, limits));
        return std::pair{std::move(inspected), std::move(run_read)};
    }();
    return judge_and_show(std::move(figures), nullptr, run, limits, options.output);
}

}  // namespace lobewright
