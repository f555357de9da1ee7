#include "cli/budget_figures.hpp"

#include <algorithm>
#include <array>

#include <fmt/format.h>

#include "analysis/stated_figures.hpp"
#include "cli/words.hpp"

namespace lobewright {
namespace {

constexpr auto all_figures = std::to_array<BudgetFigure>({
    {"lift.reference", "lift, reference", FigureKind::length},
    {"lift.used", "lift, used", FigureKind::length},
    {"lift.loss", "lift, loss", FigureKind::length},
    {"nose_deg", "nose at", FigureKind::angle},
    {"phase_shift_deg", "phase shift", FigureKind::angle},
    {"base_circle.runout.front", "base circle, runout front", FigureKind::length},
    {"base_circle.runout.rear", "base circle, runout rear", FigureKind::length},
    {"base_circle.eccentricity", "base circle, eccentricity", FigureKind::length},
    {"taper.base", "taper, base circle", FigureKind::length},
    {"taper.opening", "taper, opening ramp", FigureKind::length},
    {"taper.nose", "taper, nose", FigureKind::length},
    {"taper.closing", "taper, closing ramp", FigureKind::length},
    {"wear.max_depth", "wear, greatest depth", FigureKind::length},
    {"wear.nose_depth", "wear, nose", FigureKind::length},
    {"wear.front_nose_depth", "wear, nose front", FigureKind::length},
    {"wear.rear_nose_depth", "wear, nose rear", FigureKind::length},
    {"wear.area", "wear, area", FigureKind::area},
    {"wear.volume", "wear, volume", FigureKind::volume},
    {"wear.nose_radius.reference", "nose radius, reference", FigureKind::length},
    {"wear.nose_radius.used", "nose radius, used", FigureKind::length},
});

bool decides(std::string_view key, bool has_reference) {
    if (key == "lift.used") return !has_reference;
    constexpr std::array<std::string_view, 8> deciding{"lift.loss",
                                                       "phase_shift_deg",
                                                       "base_circle.runout.front",
                                                       "base_circle.runout.rear",
                                                       "taper.base",
                                                       "taper.opening",
                                                       "taper.closing",
                                                       "wear.nose_depth"};
    return std::find(deciding.begin(), deciding.end(), key) != deciding.end();
}

}  // namespace

Measured BudgetEntry::stated() const {
    return stated_figure(*lobe, figure->key);
}

std::vector<BudgetEntry> entries_of(const LobeFigures& lobe) {
    std::vector<BudgetEntry> entries;
    for (const BudgetFigure& figure : all_figures) {
        const auto line = std::find_if(lobe.budget.begin(), lobe.budget.end(),
                                       [&](const BudgetLine& l) { return l.figure == figure.key; });
        if (line != lobe.budget.end()) entries.push_back({&figure, &lobe, &*line});
    }
    return entries;
}

std::vector<BudgetEntry> only_deciding(std::vector<BudgetEntry> entries, bool has_reference) {
    std::erase_if(entries,
                  [&](const BudgetEntry& entry) { return !decides(entry.figure->key, has_reference); });
    return entries;
}

std::vector<BudgetEntry> least_certain(const CamFigures& figures) {
    std::vector<BudgetEntry> worst;
    for (const LobeFigures& lobe : figures.lobes) {
        for (const BudgetEntry& entry : only_deciding(entries_of(lobe), figures.has_reference)) {
            const auto same = std::find_if(worst.begin(), worst.end(),
                                           [&](const BudgetEntry& w) { return w.figure == entry.figure; });
            if (same == worst.end()) {
                worst.push_back(entry);
            } else if (entry.line->measured.u95 > same->line->measured.u95) {
                *same = entry;
            }
        }
    }
    return worst;
}

double per_unit(FigureKind kind, Units units) {
    const double mm = mm_per(units);
    return kind == FigureKind::angle ? 1.0 : kind == FigureKind::volume ? mm * mm * mm : mm;
}

std::string unit_of(FigureKind kind, Units units) {
    switch (kind) {
        case FigureKind::length:
            return std::string(word(units));
        case FigureKind::area:
            return fmt::format("{} x deg", word(units));
        case FigureKind::volume:
            return fmt::format("{}3", word(units));
        case FigureKind::angle:
            break;
    }
    return "deg";
}

int decimals_of(FigureKind kind, Units units) {
    const bool inches = units == Units::in;
    switch (kind) {
        case FigureKind::length:
            return inches ? 6 : 5;
        case FigureKind::area:
            return inches ? 5 : 4;
        case FigureKind::volume:
            return inches ? 7 : 3;
        case FigureKind::angle:
            break;
    }
    return 4;
}

}  // namespace lobewright
