// card_study.hpp: how often the u95 of a card's figures hold, on simulated cams with known truth. The truth comes from the
// model's closed forms and docs/card.md's definitions, never from the analysis.
#pragma once

#include <map>
#include <string>

#include "tests/coverage/coverage_study.hpp"

namespace lobewright {

/// Figures by their key in card's JSON, as near as makes no doubt.
std::map<std::string, FigureCoverage> study_card_coverage(const CoverageOptions& options);

}  // namespace lobewright
