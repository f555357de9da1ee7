#include "cli/present_draws.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "analysis/judge/wording.hpp"
#include "cli/output.hpp"
#include "cli/text_table.hpp"

namespace lobewright {
namespace {

const DrawnFigure* find_draws(const DrawnCam& drawn, const BudgetEntry& entry) {
    const auto lobe = std::find_if(drawn.lobes.begin(), drawn.lobes.end(),
                                   [&](const DrawnLobe& l) { return l.name == entry.lobe->name; });
    const DrawnFigure* figure = lobe == drawn.lobes.end() ? nullptr : lobe->find(entry.figure->key);
    return figure == nullptr || figure->draws == 0 ? nullptr : figure;
}

/// "agrees", or what is wrong with +/-.
std::string verdict_on(double stated_u95, const DrawnFigure& figure) {
    if (figure.agrees()) return "agrees";
    const double half = figure.symmetric.half_width();
    // Both ends off the same way: it isn't the width.
    const double wider = stated_u95 - half;
    if (std::max(figure.low_off, figure.high_off) > 2.0 * std::abs(wider)) return "to one side";
    const double percent = 100.0 * std::abs(wider) / half;
    if (wider > 0.0 && !(percent < 1000.0)) return "too wide";
    return fmt::format("{} % too {}", fixed(percent, 0), wider > 0.0 ? "wide" : "narrow");
}

}  // namespace

std::string present_draws_head(const DrawnCam& drawn) {
    return paragraph(
        fmt::format("Checked by {} draws (seed {}): so many times every reading, each indicator's error and "
                    "the datum were drawn "
                    "afresh, and the figures worked out anew from the rows. +/- agrees where its ends lie "
                    "where 95 of 100 draws end, "
                    "to one digit and to what {} draws can tell.",
                    drawn.draws, drawn.seed, drawn.draws));
}

std::string present_draws(const DrawnCam& drawn, const std::vector<BudgetEntry>& entries, bool with_lobe,
                          Units units) {
    std::vector<Column> columns{{"figure"}};
    if (with_lobe) columns.push_back({"lobe"});
    columns.insert(columns.end(), {{"+/- (95 %)", true}, {"by draws", true}, {"unit"}, {"+/-"}});
    std::vector<std::vector<Cell>> rows;
    std::size_t agree = 0, fewest = drawn.draws;
    for (const BudgetEntry& entry : entries) {
        const FigureKind kind = entry.figure->kind;
        const auto say = [&](double value) {
            return fixed(value / per_unit(kind, units), decimals_of(kind, units));
        };
        const DrawnFigure* figure = find_draws(drawn, entry);
        const double u95 = entry.stated().u95;
        std::vector<Cell> row{{std::string(entry.figure->words)}};
        if (with_lobe) row.push_back({one_line(entry.lobe->name)});
        row.push_back({std::isfinite(u95) ? say(u95) : "unknown"});
        row.push_back({figure == nullptr ? "unknown" : say(figure->symmetric.half_width())});
        row.push_back({unit_of(kind, units)});
        row.push_back({figure == nullptr ? "unknown" : verdict_on(u95, *figure)});
        rows.push_back(std::move(row));
        agree += figure != nullptr && figure->agrees();
        fewest = std::min(fewest, figure == nullptr ? 0 : figure->draws);
    }
    std::string out = format_table(columns, rows, false);
    out += fmt::format("\n{} of {} agree.", agree, entries.size());
    if (fewest < drawn.draws) out += fmt::format(" Some figure could be known in {} draws only.", fewest);
    return out + "\n";
}

nlohmann::ordered_json draws_json(const DrawnCam& drawn, const BudgetEntry& entry, double per) {
    const DrawnFigure* figure = find_draws(drawn, entry);
    if (figure == nullptr) return nullptr;
    const auto interval = [per](const CoverageInterval& i) {
        return nlohmann::ordered_json::array({i.low / per, i.high / per});
    };
    return {{"known_in", figure->draws},
            {"mean", figure->mean / per},
            {"sd", figure->sd / per},
            {"u95", figure->symmetric.half_width() / per},
            {"interval", interval(figure->symmetric)},
            {"shortest_u95", figure->shortest.half_width() / per},
            {"shortest_interval", interval(figure->shortest)},
            {"tolerance", figure->tolerance / per},
            {"chance", figure->allowance / per},
            {"agrees", figure->agrees()}};
}

}  // namespace lobewright
