// budget_figures.hpp: the figures that have a budget, as a screen names and measures them, and which of them to show.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "analysis/figures.hpp"
#include "analysis/units.hpp"

namespace lobewright {

enum class FigureKind { length, area, volume, angle };

struct BudgetFigure {
    std::string_view key;    // in JSON
    std::string_view words;  // on the screen
    FigureKind kind;
};

/// One figure of one lobe and its budget.
struct BudgetEntry {
    const BudgetFigure* figure;
    const LobeFigures* lobe;
    const BudgetLine* line;

    /// As it is stated: corrected or wrapped, where the budget's is as it was fitted.
    [[nodiscard]] Measured stated() const;
};

/// Every figure of the lobe that has a budget, in the order of docs/figures.md.
std::vector<BudgetEntry> entries_of(const LobeFigures& lobe);

/// Those that verdicts turn on, and the phase that wear hangs on.
std::vector<BudgetEntry> only_deciding(std::vector<BudgetEntry> entries, bool has_reference);

/// Each deciding figure on the lobe where its u95 is largest.
std::vector<BudgetEntry> least_certain(const CamFigures& figures);

/// Millimetres (or their powers) in one unit that a figure is shown in.
double per_unit(FigureKind kind, Units units);

std::string unit_of(FigureKind kind, Units units);

/// Decimals one finer than a bench reads, so that what is left of +/- isn't rounded away.
int decimals_of(FigureKind kind, Units units);

}  // namespace lobewright
