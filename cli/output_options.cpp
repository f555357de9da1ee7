#include "cli/output_options.hpp"

#include <algorithm>

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include "cli/common_options.hpp"
#include "cli/output.hpp"
#include "cli/present_csv.hpp"
#include "cli/present_json.hpp"
#include "cli/present_lobe.hpp"
#include "cli/present_screen.hpp"
#include "cli/report/write_report.hpp"
#include "cli/words.hpp"

namespace lobewright {
namespace {

// Fewer can't carry a lobe's shape; more than a hundredth of a degree is finer than any encoder in use.
constexpr std::size_t least_curve_points = 36;
constexpr std::size_t most_curve_points = 36000;

std::string present_chosen_lobes(const Result& result, const std::vector<std::size_t>& chosen, bool colour) {
    std::string out = present_verdict(result, colour) + present_runs(result);
    for (const std::size_t index : chosen) out.append("\n").append(present_lobe(result, index, colour));
    return out + present_cautions(result);
}

}  // namespace

void add_output_options(CLI::App& command, OutputOptions& options) {
    add_json_option(command, options.json);
    command.add_flag("--curves", options.curves, "with --json: add each lobe's curves");
    command.add_option("--csv", options.csv, "write each lobe's curves as a CSV file")->type_name("FOLDER");
    add_report_option(command, options.report);
    command.add_option("--figures", options.figures, "write every chart as an SVG file")->type_name("FOLDER");
    command.add_flag("--overwrite", options.overwrite, "replace files that are there");
    command.add_option("--curve-points", options.curve_points, "points of a curve (720)")->type_name("N");
    add_units_option(command, options.units, "the used run");
    command.add_option("--limits", options.limits, "limits of the shop (common practice)")->type_name("FILE");
    add_lobe_option(command, options.lobes, "this lobe in detail; may be repeated");
    add_setup_option(command, options.setup);
    command.add_flag("--no-color", options.no_color, "no colours, as with NO_COLOR set");
}

void check_output_options(const OutputOptions& options) {
    if (options.curves && !options.json) {
        throw UsageError("--curves adds to --json: say --json too, or --csv FOLDER for files");
    }
    if (options.curve_points && !options.curves && options.csv.empty()) {
        throw UsageError("--curve-points needs curves to count: say --json --curves, or --csv FOLDER");
    }
    if (options.curve_points &&
        (*options.curve_points < least_curve_points || *options.curve_points > most_curve_points)) {
        throw UsageError(fmt::format("--curve-points {}: must be {} to {}", *options.curve_points,
                                     least_curve_points, most_curve_points));
    }
    if (options.overwrite && options.csv.empty() && options.report.empty() && options.figures.empty())
        throw UsageError("--overwrite goes with --csv, --report or --figures");
    check_lobe_option(options.lobes, options.json);
}

Limits limits_of(const OutputOptions& options) {
    return options.limits.empty() ? Limits{} : read_limits(options.limits);
}

AnalysisOptions analysis_of(const OutputOptions& options, const Limits& limits) {
    AnalysisOptions analysis;
    analysis.flat_taper_mm = limits.flat_taper_mm;
    if (options.curve_points) analysis.curve_points = *options.curve_points;
    analysis.used = set_up_of(options.setup);
    analysis.reference = set_up_of(options.reference_setup);
    if (!options.report.empty() || !options.figures.empty())
        analysis.wear_u95_each = report_u95_each(analysis.curve_points);
    return analysis;
}

ReportFiles report_files(const OutputOptions& options) {
    return {options.report, options.figures, options.overwrite};
}

std::string say_written(const OutputOptions& options) {
    std::string out;
    if (!options.report.empty())
        out += paragraph(fmt::format("Report written to {}", one_line(options.report)));
    if (!options.figures.empty())
        out += paragraph(fmt::format("Charts written to {}", one_line(options.figures)));
    return out;
}

Result judged_result(CamFigures figures, const Run* reference, const Run& used, const Limits& limits,
                     const OutputOptions& options) {
    Result result;
    result.units = units_or(options.units, figures.used_units);
    result.judgement = judge(figures, limits, result.units);
    result.limits = limits;
    result.figures = std::move(figures);
    if (result.figures.has_reference) result.along = placed_wear(result.figures, used.lobes);
    result.tappets = place_tappets(reference, used, result.judgement.lobes, result.judgement.verdict, false);
    return result;
}

Exit judge_and_show(CamFigures figures, const Run* reference, const Run& used, const Limits& limits,
                    const OutputOptions& options) {
    Result result = judged_result(std::move(figures), reference, used, limits, options);
    const std::vector<std::size_t> chosen = find_lobes(options.lobes, result.figures.lobes);
    // The whole cam's screen has a block of its own for them.
    if (options.json || !chosen.empty()) note_tappets(result.tappets, result.judgement.lobes);
    if (!options.csv.empty()) write_csv_files(result, options.csv, options.overwrite);
    if (!options.report.empty() || !options.figures.empty())
        write_report(result, reference, used, set_up_of(options.setup), report_files(options));

    const bool colour = !options.no_color && stdout_takes_colour();
    if (options.json) {
        write_stdout(present_json(result, options.curves));
    } else {
        std::string screen =
            chosen.empty() ? present_screen(result, colour) : present_chosen_lobes(result, chosen, colour);
        screen += say_written(options);
        if (!options.csv.empty()) {
            screen += paragraph(fmt::format("Curves of {} lobes written to {}", result.figures.lobes.size(),
                                            one_line(options.csv)));
        }
        write_stdout(screen);
    }
    return exit_of(result.judgement.verdict);
}

}  // namespace lobewright
