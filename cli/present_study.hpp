// present_study.hpp: a study's summary as screen and as JSON (docs/study.md).
#pragma once

#include <string>

#include "analysis/study/study_summary.hpp"
#include "analysis/units.hpp"

namespace lobewright {

std::string present_study(const StudySummary& summary, Units units);

/// "lobewright-study-summary/1", with a newline.
std::string present_study_json(const StudySummary& summary, Units units);

/// "40 runs: 30 reuse, 5 regrind, ...".
std::string say_study(const StudySummary& summary);

}  // namespace lobewright
