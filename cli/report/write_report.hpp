// write_report.hpp: a judged result as files: the report's page, its charts.
#pragma once

#include <cstddef>
#include <filesystem>
#include <string>

#include "analysis/run/run.hpp"
#include "analysis/support/bench_set_up.hpp"
#include "cli/result.hpp"

namespace lobewright {

/// Where a report goes; what is empty isn't written.
struct ReportFiles {
    std::filesystem::path page;
    std::filesystem::path figures;  // a folder
    bool overwrite = false;
};

/// At every how manieth of so many curve points the report wants the wear's u95: about every 8 degrees.
std::size_t report_u95_each(std::size_t curve_points);

/// Throws IoError when a file is there already and `overwrite` isn't said, before anything is written, or can't be
/// written.
void write_report(const Result& result, const Run* reference, const Run& used, const BenchSetUp& set_up,
                  const ReportFiles& files);

/// A page about something else: `json` is what the command prints with `--json`, `plain` what it prints without. Throws
/// like write_report.
void write_page(const std::string& json, const std::string& headline, const std::string& plain,
                const std::filesystem::path& page, bool overwrite);

}  // namespace lobewright
