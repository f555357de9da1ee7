// repeat_notes.hpp: what must be said beside the figures of a study: what they leave out, and what looks odd in them.
#pragma once

#include <string>
#include <vector>

#include "analysis/repeat/repeat_study.hpp"

namespace lobewright {

/// In the order of weight.
std::vector<std::string> repeat_notes(const RepeatStudy& study, const std::vector<Run>& runs,
                                      const MeasuredPasses& measured);

}  // namespace lobewright
