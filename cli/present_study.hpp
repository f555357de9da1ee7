// present_study.hpp: a study's summary as text (docs/study.md).
#pragma once

#include <string>

#include "analysis/study/study_summary.hpp"
#include "analysis/units.hpp"

namespace lobewright {

std::string present_study(const StudySummary& summary, Units units);

/// "40 runs: 30 reuse, 5 regrind, ...".
std::string say_study(const StudySummary& summary);

}  // namespace lobewright
