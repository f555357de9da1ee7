#include "cli/command_regrind.hpp"

#include <cmath>
#include <memory>

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <fmt/format.h>

#include "analysis/run/run_folder.hpp"
#include "cli/common_options.hpp"
#include "cli/output.hpp"
#include "cli/present_regrind.hpp"
#include "cli/progress.hpp"
#include "cli/report/write_report.hpp"
#include "cli/words.hpp"

namespace lobewright {
namespace {

constexpr auto regrind_examples =
    R"(The target is what the lobes are ground to: the run of this cam when new, a
profile file, or a folder of runs and profile files, of which the largest lift
that still fits inside the metal is taken.

Examples:
  lobewright regrind launch-4-used --target launch-4-new
      back to the profile it had: how deep, and what that leaves
  lobewright regrind launch-4-used --target launch-4-new --table grind
      with lift against angle for the grinder, in grind/1E.csv and so on
  lobewright regrind launch-4-used --target profiles --limits shop.toml
      which profile of the shop's own folder still fits
  lobewright regrind launch-4-used --target launch-4-new --shift 0.2
      timing held closer: each lobe within 0.2 cam degrees of its place

Exit status: 0 fit to reuse as it is; 1 judged (regrind or scrap); 2 measure
again; 64 usage; 65 bad data; 66 no such input; 74 input or output failed.)";

constexpr double finest_step_deg = 0.05,
                 coarsest_step_deg = 10.0;  // 7200 rows; a table that still shows a flank
constexpr double most_shift_deg = 5.0;      // further, and the profiles no longer lie over each other

void check_options(const RegrindCommandOptions& options) {
    if (options.target.empty()) {
        throw UsageError(
            "say what to grind to: --target with the run of this cam when new, a profile file, or a folder "
            "of runs "
            "and profile files (see lobewright regrind --help)");
    }
    if (!(options.shift_deg >= 0.0 && options.shift_deg <= most_shift_deg)) {
        throw UsageError(
            fmt::format("--shift {}: give 0 to {} cam degrees", options.shift_deg, most_shift_deg));
    }
    if (options.taper && !(*options.taper > 0.0 && std::isfinite(*options.taper))) {
        throw UsageError(fmt::format("--taper {}: give its size, above zero", *options.taper));
    }
    if (options.table.empty() && options.step_deg) throw UsageError("--step belongs to --table FOLDER");
    if (options.overwrite && options.table.empty() && options.report.empty())
        throw UsageError("--overwrite belongs to --table or --report");
    if (!options.step_deg) return;
    const double step = *options.step_deg, rows = 360.0 / step;
    if (!(step >= finest_step_deg && step <= coarsest_step_deg) || std::abs(rows - std::round(rows)) > 1e-6) {
        throw UsageError(fmt::format("--step {}: give {} to {} degrees, an even part of the turn", step,
                                     finest_step_deg, coarsest_step_deg));
    }
}

}  // namespace

void setup_regrind(CLI::App& app, Action& action) {
    auto options = std::make_shared<RegrindCommandOptions>();
    CLI::App* command = app.add_subcommand("regrind", "Plan a regrind: how deep, to what, and what is left");
    command->add_option("USED", options->used, "run of the cam now")->type_name("FOLDER")->required();
    command->add_option("--target", options->target, "run when new, profile file, or a folder of them")
        ->type_name("PATH");
    command->add_option("--shift", options->shift_deg, "cam degrees a lobe may turn from its place (0.5)")
        ->type_name("DEG");
    command->add_option("--taper", options->taper, "size of the taper to grind (as it was ground)")
        ->type_name("LENGTH");
    command->add_option("--table", options->table, "write each lobe's table for the grinder")
        ->type_name("FOLDER");
    command->add_option("--step", options->step_deg, "with --table: degrees from row to row (1)")
        ->type_name("DEG");
    add_report_option(*command, options->report);
    command->add_flag("--overwrite", options->overwrite, "with --table or --report: replace files");
    command->add_option("--limits", options->limits, "limits of the shop (common practice)")
        ->type_name("FILE");
    add_setup_option(*command, options->setup);
    add_reference_setup_option(*command, options->reference_setup);
    add_units_option(*command, options->units, "the used run");
    add_json_option(*command, options->json);
    command->add_flag("--no-color", options->no_color, "no colours, as with NO_COLOR set");
    command->group("Commands");
    command->footer(regrind_examples);
    command->callback([options, &action] {
        check_options(*options);
        action = [options] { return run_regrind(*options); };
    });
}

Exit run_regrind(const RegrindCommandOptions& options) {
    RegrindResult result;
    {
        const Progress progress(fmt::format("planning a regrind of {}", options.used));
        RegrindOptions asked;
        if (!options.limits.empty()) asked.limits = read_limits(options.limits);
        Run used = read_run(options.used);
        used.units = units_or(options.units, used.units);
        asked.units = result.units = used.units;
        asked.analysis.flat_taper_mm = asked.limits.flat_taper_mm;
        asked.analysis.used = set_up_of(options.setup);
        asked.analysis.reference = set_up_of(options.reference_setup);
        asked.shift_deg = options.shift_deg;
        if (options.taper) asked.taper_mm = *options.taper * mm_per(result.units);
        result.plan = regrind_to(options.target, used, asked);
        result.limits = asked.limits;
        result.shift_deg = options.shift_deg;
    }
    if (!options.table.empty()) {
        write_grind_tables(result, options.table, options.step_deg.value_or(1.0), options.overwrite);
    }
    if (!options.report.empty()) {
        write_page(present_regrind_json(result),
                   fmt::format("{}: {}", one_line(result.plan.used.id), headline(result.plan.verdict)),
                   present_regrind(result, false), options.report, options.overwrite);
    }
    if (options.json) {
        write_stdout(present_regrind_json(result));
    } else {
        std::string screen = present_regrind(result, !options.no_color && stdout_takes_colour());
        if (!options.table.empty()) {
            screen += paragraph(fmt::format("Tables for the grinder written to {}", one_line(options.table)));
        }
        write_stdout(screen);
    }
    return exit_of(result.plan.verdict);
}

}  // namespace lobewright
