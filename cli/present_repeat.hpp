// present_repeat.hpp: how well a bench repeats, on an 80-column screen and as JSON. Deviations are standard
// deviations.
#pragma once

#include <string>

#include "analysis/repeat/repeat_study.hpp"

namespace lobewright {

/// What the bench can prove first, then the scatter, how well it is known, what was wanted, and notes.
std::string present_repeat(const RepeatStudy& study);

/// One object of format "lobewright-repeat/1" (docs/repeat.md).
std::string present_repeat_json(const RepeatStudy& study);

}  // namespace lobewright
