// output_options.hpp: the options that every judging command shares, and what they make of a result.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "analysis/compare.hpp"
#include "analysis/errors.hpp"
#include "analysis/judge/limits.hpp"
#include "cli/report/write_report.hpp"
#include "cli/result.hpp"

namespace CLI {
class App;
}

namespace lobewright {

struct OutputOptions {
    bool json = false;
    bool curves = false;
    std::optional<std::size_t> curve_points;
    std::string units;    // "mm", "in", or empty: the used run's
    std::string limits;   // a limits file, or empty: the built-in ones
    std::string csv;      // a folder, or empty: none
    std::string report;   // a file, or empty: none
    std::string figures;  // a folder, or empty: none
    bool overwrite = false;
    std::string setup;               // set-up files, or empty: an indicator over the cam
    std::string reference_setup;     // of the reference run
    std::vector<std::string> lobes;  // in detail; none: the whole cam
    bool no_color = false;
};

/// Declares the options on `command`, their values to land in `options`.
void add_output_options(CLI::App& command, OutputOptions& options);

/// Throws UsageError for options that don't go together. Opens nothing.
void check_output_options(const OutputOptions& options);

/// The limits that `options` name.
Limits limits_of(const OutputOptions& options);

/// How the analysis is to be run for `options`.
AnalysisOptions analysis_of(const OutputOptions& options, const Limits& limits);

/// Where `options` want a report.
ReportFiles report_files(const OutputOptions& options);

/// A line for each of report and charts that was written.
std::string say_written(const OutputOptions& options);

/// Judges the figures of `used`. `reference` may be none.
Result judged_result(CamFigures figures, const Run* reference, const Run& used, const Limits& limits,
                     const OutputOptions& options);

/// Judges the figures of `used`, shows them as `options` say, and returns the exit status of the verdict. `reference` may
/// be none.
Exit judge_and_show(CamFigures figures, const Run* reference, const Run& used, const Limits& limits,
                    const OutputOptions& options);

}  // namespace lobewright
