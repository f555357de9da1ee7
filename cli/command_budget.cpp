#include "cli/command_budget.hpp"

#include <memory>
#include <utility>

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <fmt/format.h>

#include "analysis/compare.hpp"
#include "analysis/draws/draw_figures.hpp"
#include "analysis/run/run_folder.hpp"
#include "cli/common_options.hpp"
#include "cli/output.hpp"
#include "cli/present_budget.hpp"
#include "cli/progress.hpp"

namespace lobewright {
namespace {

constexpr std::uint64_t usual_seed = 1;

constexpr auto budget_examples = R"(Sources:
  noise        scatter of the readings
  encoder      its rounding on a slope, and its error where the set-up states it
  indicator    each indicator's own error, within its error limit
  step         the indicator's step, where noise doesn't average it out
  smoothing    what the fitted curve takes off the shape
  table        what may hide between the rows of a sparse table
  datum        the front-to-rear zero
  passes       front against rear from pass to pass
  drift        slow wander of the rig within a turn
  form         the heel isn't round, and lift is counted from it
  support      what V-blocks move the cam by, where journals weren't swept
  temperature  growth of the cam from one run to the other

Examples:
  lobewright budget launch-4-used --against launch-4-new
      what to improve first: the figures that decide, each on the lobe where it
      is least certain, and the source that holds most over them
  lobewright budget launch-4-used --against launch-4-new --lobe 1E --lobe 1I
      every figure of two lobes, and what its +/- is made of
  lobewright budget launch-4-new
      of a run alone: is the rig good enough to be the reference?
  lobewright budget pump-6-used --against pump-6-new --units mm --json
      every figure of every lobe with the standard uncertainty of each source,
      for a program

  lobewright budget launch-4-used --against launch-4-new --draws 400
      check +/- by another route: draw every input afresh 400 times, work the
      figures out anew, and see what they scatter by; half a minute or so

Exit status: 0 printed; 64 usage; 65 bad data; 66 no such input; 74 input or
output failed.)";

void check_options(const BudgetOptions& options) {
    check_lobe_option(options.lobes, options.json);
    if (options.draws) check_draw_count(*options.draws);
    if (options.seed && !options.draws) throw UsageError("--seed is of the draws; give --draws N as well");
}

Budget budget_of(const BudgetOptions& options) {
    Budget budget;
    const auto note_limit = [&budget](const Run& run) {
        if (!run.rig.error_limit_mm) budget.without_error_limit.push_back(run.info.id);
    };
    Progress progress(fmt::format("measuring {}", options.run));
    const Run run = read_run(options.run);
    note_limit(run);
    AnalysisOptions analysis;
    analysis.used = set_up_of(options.setup);
    analysis.reference = set_up_of(options.reference_setup);
    std::optional<Run> reference;
    if (!options.against.empty()) {
        reference = read_run(options.against);
        note_limit(*reference);
    }
    budget.figures = reference ? compare_runs(*reference, run, analysis) : inspect_run(run, analysis);
    if (options.draws) {
        DrawOptions draw;
        draw.draws = static_cast<std::size_t>(*options.draws);
        draw.seed = options.seed.value_or(usual_seed);
        draw.analysis = analysis;
        draw.done = [&](std::size_t done) {
            progress.update(fmt::format("draw {} of {}", done, *options.draws));
        };
        budget.drawn = draw_figures(reference ? &*reference : nullptr, run, budget.figures, draw);
    }
    budget.units = units_or(options.units, budget.figures.used_units);
    return budget;
}

}  // namespace

void setup_budget(CLI::App& app, Action& action) {
    auto options = std::make_shared<BudgetOptions>();
    CLI::App* command = app.add_subcommand("budget", "Show where each figure's uncertainty comes from");
    command->add_option("RUN", options->run, "run of the cam")->type_name("FOLDER")->required();
    command->add_option("--against", options->against, "its reference run: wear and lift loss too")
        ->type_name("REFERENCE");
    add_lobe_option(*command, options->lobes, "every figure of this lobe; may be repeated");
    add_setup_option(*command, options->setup);
    add_reference_setup_option(*command, options->reference_setup);
    add_units_option(*command, options->units, "the run");
    add_json_option(*command, options->json);
    command->add_option("--draws", options->draws, "check +/- by so many draws, 100 or more")->type_name("N");
    command->add_option("--seed", options->seed, "another seed, other draws (1)")
        ->type_name("S")
        ->check(CLI::NonNegativeNumber);
    command->group("Commands");
    command->footer(budget_examples);
    command->callback([options, &action] {
        check_options(*options);
        action = [options] { return run_budget(*options); };
    });
}

Exit run_budget(const BudgetOptions& options) {
    const Budget budget = budget_of(options);
    const std::vector<std::size_t> chosen = find_lobes(options.lobes, budget.figures.lobes);
    write_stdout(options.json ? present_budget_json(budget) : present_budget(budget, chosen));
    return Exit::fit;
}

}  // namespace lobewright
