// run_in.hpp: what a comparison of a cam after its run-in with the same cam before it says: whether taper survived, where
// metal went, what to check before another try, what is finished with. Common practice, no source.
#pragma once

#include <string>
#include <vector>

#include "analysis/figures.hpp"
#include "analysis/judge/judgement.hpp"
#include "analysis/judge/rules.hpp"

namespace lobewright {

/// Of the whole cam; nothing when it wasn't measured after a run-in.
std::vector<std::string> run_in_findings(const std::vector<LobeJudgement>& lobes, const RuleContext& context);

/// Adds where a run-in took its metal when that isn't the nose.
void note_run_in_wear(std::vector<std::string>& notes, const LobeFigures& lobe, const RuleContext& context);

}  // namespace lobewright
