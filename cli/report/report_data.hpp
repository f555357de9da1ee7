// report_data.hpp: what the report's page and figures are drawn from, as one JSON object of their own. Figures are those of
// `--json` and its siblings, digit for digit; curves are rounded to a hundredth of a micrometre.
#pragma once

#include <string>

#include "cli/report/report_sources.hpp"

namespace lobewright {

std::string report_data(const ReportSources& sources);

/// The same for a page about something else than a judged cam: `json` is what the command prints with `--json`.
std::string page_data(const std::string& json, const std::string& headline);

}  // namespace lobewright
