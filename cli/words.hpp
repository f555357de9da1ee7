// words.hpp: the words that people and JSON get for each choice (docs/run-folder.md).
#pragma once

#include <string_view>

#include "analysis/errors.hpp"
#include "analysis/figures.hpp"
#include "analysis/judge/judgement.hpp"

namespace lobewright {

/// As they stand in JSON (a verdict's word: analysis/judge/judgement.hpp); `Push::unknown` has no word there and is null.
std::string_view word(Edge value);
std::string_view word(TaperDatum value);
std::string_view word(HighSide value);
std::string_view word(Push value);

/// The verdict on a whole cam, said to a machinist: "NOT FIT, REGRIND".
std::string_view headline(Verdict value);

/// The exit status that a verdict ends the program with (docs/run-folder.md).
Exit exit_of(Verdict value);

}  // namespace lobewright
