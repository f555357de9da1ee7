// say_result.hpp: a result in sentences, the same on the screen and on the report's page.
#pragma once

#include <string>
#include <vector>

#include "cli/result.hpp"

namespace lobewright {

/// "NOT FIT, REGRIND".
std::string say_verdict(const Result& result);

/// ": 2 of 8 lobes", the lobes that share the cam's verdict; nothing when it isn't theirs (a bent cam).
std::string say_lobes_behind(const Result& result);

/// The reason that decided; empty where there is none.
std::string say_because(const Result& result);

/// "lift loss 0.412 > 0.130": the figure, on which side of its limit it is ("~" where U spans it), the limit.
std::string decided_by(const Ruling& ruling, Units units);

/// What to do, in order.
std::vector<std::string> next_steps(const Result& result);

/// The caution that closes every result.
std::string say_caution(const Result& result);

}  // namespace lobewright
