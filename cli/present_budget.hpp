// present_budget.hpp: where each figure's uncertainty comes from, on an 80-column screen and as JSON.
// Percentages are shares of the variance; `+/-` is u95; JSON holds standard uncertainties.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "analysis/draws/draw_figures.hpp"
#include "analysis/figures.hpp"
#include "analysis/units.hpp"

namespace lobewright {

struct Budget {
    CamFigures figures;
    Units units = Units::mm;                       // what lengths are shown in
    std::vector<std::string> without_error_limit;  // ids of the runs whose indicators' error isn't counted
    std::optional<DrawnCam> drawn;                 // where +/- was to be checked by draws
};

/// The lobes of these indices in full or, when there are none, the figures that decide, each on the lobe
/// where it is least certain; either way with what to improve first and, where there are draws, whether they agree.
std::string present_budget(const Budget& budget, const std::vector<std::size_t>& lobes);

/// One object of format "lobewright-budget/1": every lobe's figures as compare or inspect state them (their
/// keys there joined by dots), with the standard uncertainty of each source in the figure's unit and, where there are draws,
/// what they say of it.
std::string present_budget_json(const Budget& budget);

}  // namespace lobewright
