// decision.hpp: the decision rule of ISO 14253-1 (1998 and later; edition and clause from memory): conformity
// is proved only when the whole interval value +/- U is within the limit, nonconformity only when it is all
// beyond.
#pragma once

#include <vector>

#include "analysis/judge/judgement.hpp"

namespace lobewright {

/// Figure and limit in one unit. `at_least`: the figure must be at least the limit, otherwise at most.
/// A figure that is unknown, or whose U is, is open.
Proof prove(const Measured& figure, double limit, bool at_least);

/// The rulings that made the verdict: those proved bad and then those open; of a lobe fit for reuse, the one
/// nearest its limit.
std::vector<Ruling> deciding_rulings(const LobeJudgement& lobe);

/// How much of the room to its limit a ruling proved good has used, U included: 1 at the limit.
double room_used(const Ruling& ruling);

}  // namespace lobewright
