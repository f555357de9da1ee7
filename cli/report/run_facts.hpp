// run_facts.hpp: what a run folder says of cam, bench and day, as pairs of words for a report; and what wasn't measured.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "analysis/judge/limits.hpp"
#include "analysis/run/run.hpp"

namespace lobewright {

using Facts = std::vector<std::pair<std::string, std::string>>;

/// Lengths in `units`; keys that the run doesn't give have no entry.
Facts run_facts(const Run& run, Units units);

/// The limits that this cam stood under.
Facts limit_facts(const Limits& limits, const Run& used, Units units);

/// What this run lacks and a fuller one would have.
std::vector<std::string> not_measured(const Run& used, const Run* reference);

}  // namespace lobewright
