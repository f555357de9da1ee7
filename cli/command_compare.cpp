#include "cli/command_compare.hpp"

#include <memory>
#include <tuple>
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

constexpr auto compare_examples = R"(Examples:
  lobewright compare launch-4-new launch-4-used
      is the used cam fit to go back in?
  lobewright compare launch-4-before launch-4-after
      did the run-in take?
  lobewright compare launch-4-new launch-4-used --lobe 1E --lobe 1I
      every figure of two lobes, with its uncertainty
  lobewright compare pump-6-new pump-6-used --units mm --limits shop.toml
      judged by the shop's own limits, shown in millimetres
  lobewright compare launch-4-new launch-4-used --csv curves
      lift, taper and wear around each lobe, in curves/1E.csv and so on
  lobewright compare launch-4-new launch-4-used --json --curves > cam.json
      everything, for a program

Exit status: 0 fit to reuse; 1 not fit (regrind or scrap); 2 measure again;
64 usage; 65 bad data; 66 no such input; 74 input or output failed.)";

}  // namespace

void setup_compare(CLI::App& app, Action& action) {
    auto options = std::make_shared<CompareOptions>();
    CLI::App* command = app.add_subcommand("compare", "Judge a used cam against its reference run");
    command->add_option("REFERENCE", options->reference, "run of the cam when new, or before the run-in")
        ->type_name("FOLDER")
        ->required();
    command->add_option("USED", options->used, "run of the same cam now")->type_name("FOLDER")->required();
    add_output_options(*command, options->output);
    add_reference_setup_option(*command, options->output.reference_setup);
    command->group("Commands");
    command->footer(compare_examples);
    command->callback([options, &action] {
        check_output_options(options->output);
        action = [options] { return run_compare(*options); };
    });
}

Exit run_compare(const CompareOptions& options) {
    const Limits limits = limits_of(options.output);
    auto [figures, reference, used] = [&] {
        const Progress progress(fmt::format("comparing {} with {}", options.used, options.reference));
        Run reference_run = read_run(options.reference);
        Run used_run = read_run(options.used);
        used_run.units = units_or(options.output.units, used_run.units);
        CamFigures compared = compare_runs(reference_run, used_run, analysis_of(options.output, limits));
        return std::tuple{std::move(compared), std::move(reference_run), std::move(used_run)};
    }();
    return judge_and_show(std::move(figures), &reference, used, limits, options.output);
}

}  // namespace lobewright
