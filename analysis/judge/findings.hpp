// findings.hpp: what is worth saying about a lobe or a cam although no rule turns on it: findings, causes,
// cautions (the trade's facts; common practice, no source). Notes carry no figures where the same one holds
// for many lobes, so that a screen can say it once.
#pragma once

#include <string>
#include <vector>

#include "analysis/judge/rules.hpp"

namespace lobewright {

std::vector<std::string> lobe_findings(const LobeFigures& lobe, const std::vector<Ruling>& rulings,
                                       const RuleContext& context);

/// `lobes` are the judged lobes in the figures' order.
std::vector<std::string> cam_findings(const std::vector<LobeJudgement>& lobes, Verdict verdict,
                                      const RuleContext& context);

}  // namespace lobewright
