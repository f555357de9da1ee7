#include "cli/command_report.hpp"

#include <filesystem>
#include <memory>
#include <optional>

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <fmt/format.h>

#include "analysis/compare.hpp"
#include "analysis/run/run_folder.hpp"
#include "cli/common_options.hpp"
#include "cli/output.hpp"
#include "cli/progress.hpp"
#include "cli/report/write_report.hpp"
#include "cli/say_result.hpp"
#include "cli/text_table.hpp"

namespace lobewright {
namespace {

constexpr auto report_examples =
    R"(One HTML file for whoever decides: verdict, the cam from front to rear, every
lobe with its curves, what to do next. It needs no network and no other file,
and prints on A4 and Letter.

Examples:
  lobewright report launch-4-new launch-4-used
      a used cam against its reference, to launch-4-used-report.html
  lobewright report launch-4-used --to cam.html
      one run alone
  lobewright report launch-4-new launch-4-used --figures charts
      the page, and every chart as an SVG file for a letter

Exit status: 0 written; 64 usage; 65 bad data; 66 no such input; 74 input or
output failed.)";

const std::string& used_folder(const ReportCommandOptions& options) {
    return options.second.empty() ? options.first : options.second;
}

/// In the folder one stands in, named after the run's folder.
std::string default_page(const std::string& run) {
    const std::filesystem::path folder = std::filesystem::path(run).lexically_normal();
    const std::filesystem::path name =
        folder.has_filename() ? folder.filename() : folder.parent_path().filename();
    return name.string() + "-report.html";
}

}  // namespace

void setup_report(CLI::App& app, Action& action) {
    auto options = std::make_shared<ReportCommandOptions>();
    OutputOptions& output = options->output;
    CLI::App* command = app.add_subcommand("report", "Write a cam's report: one HTML page, and its charts");
    command->add_option("RUN", options->first, "run of the cam; before another: its reference")
        ->type_name("FOLDER")
        ->required();
    command->add_option("USED", options->second, "run of the same cam now")->type_name("FOLDER");
    command->add_option("--to", output.report, "the page's file (the run's name, then -report.html)")
        ->type_name("FILE");
    command->add_option("--figures", output.figures, "write every chart as an SVG file")->type_name("FOLDER");
    command->add_flag("--overwrite", output.overwrite, "replace files that are there");
    add_units_option(*command, output.units, "the used run");
    command->add_option("--limits", output.limits, "limits of the shop (common practice)")->type_name("FILE");
    add_setup_option(*command, output.setup);
    add_reference_setup_option(*command, output.reference_setup);
    command->group("Commands");
    command->footer(report_examples);
    command->callback([options, &action] {
        if (options->output.report.empty()) options->output.report = default_page(used_folder(*options));
        action = [options] { return run_report(*options); };
    });
}

Exit run_report(const ReportCommandOptions& options) {
    const Limits limits = limits_of(options.output);
    const std::string& folder = used_folder(options);
    std::string verdict;
    {
        const Progress progress(fmt::format("reporting on {}", folder));
        const Run used = read_run(folder);
        std::optional<Run> reference;
        if (!options.second.empty()) reference = read_run(options.first);
        const AnalysisOptions analysis = analysis_of(options.output, limits);
        CamFigures figures =
            reference ? compare_runs(*reference, used, analysis) : inspect_run(used, analysis);
        const Run* against = reference ? &*reference : nullptr;
        const Result result = judged_result(std::move(figures), against, used, limits, options.output);
        write_report(result, against, used, analysis.used, report_files(options.output));
        verdict = say_verdict(result) + say_lobes_behind(result);
    }
    write_stdout(verdict + "\n" + say_written(options.output));
    return Exit::fit;
}

}  // namespace lobewright
