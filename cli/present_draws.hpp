// present_draws.hpp: the budget's u95 beside that of draws (analysis/draws), on an 80-column screen and as JSON.
#pragma once

#include <string>
#include <vector>

#include <nlohmann/json_fwd.hpp>

#include "analysis/draws/draw_figures.hpp"
#include "cli/budget_figures.hpp"

namespace lobewright {

/// What the draws are and how to read the tables of them.
std::string present_draws_head(const DrawnCam& drawn);

/// A row a figure: +/- by the budget, by the draws, and whether they agree; then how many do.
std::string present_draws(const DrawnCam& drawn, const std::vector<BudgetEntry>& entries, bool with_lobe,
                          Units units);

/// One figure's draws, lengths in units of `per` mm; null when it was known in none of them.
nlohmann::ordered_json draws_json(const DrawnCam& drawn, const BudgetEntry& entry, double per);

}  // namespace lobewright
