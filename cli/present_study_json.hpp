// present_study_json.hpp: a study's summary as one JSON object (docs/study.md).
#pragma once

#include <string>

#include "analysis/study/study_summary.hpp"
#include "analysis/units.hpp"

namespace lobewright {

/// Format "lobewright-study-summary/1"; lengths in `units`. Ends with a newline.
std::string present_study_json(const StudySummary& summary, Units units);

}  // namespace lobewright
