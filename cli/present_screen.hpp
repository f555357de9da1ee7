// present_screen.hpp: a result on the bench's screen: 80 columns, plain ASCII but for the names in the run,
// read from the top: the verdict and why, a row a lobe, what to do next, notes, cautions.
#pragma once

#include <string>
#include <string_view>

#include "cli/result.hpp"
#include "cli/text_table.hpp"

namespace lobewright {

std::string present_screen(const Result& result, bool colour);

/// The cam's verdict and the reason that decided it: what every screen opens with.
std::string present_verdict(const Result& result, bool colour);

/// The runs that the verdict stands on, and the unit of what follows.
std::string present_runs(const Result& result);

/// The cautions that every screen closes with.
std::string present_cautions(const Result& result);

/// The tone that goes with a verdict.
Tone tone_of(Verdict verdict);

}  // namespace lobewright
