#include "cli/present_budget.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <nlohmann/json.hpp>

#include "analysis/judge/wording.hpp"
#include "cli/budget_figures.hpp"
#include "cli/json_figure.hpp"
#include "cli/output.hpp"
#include "cli/present_draws.hpp"
#include "cli/text_table.hpp"
#include "cli/words.hpp"

namespace lobewright {
namespace {

using Json = nlohmann::ordered_json;

std::string percent(double share) {
    return fmt::format("{} %", fixed(100.0 * share, 0));
}

/// "indicator 92 %, datum 7 %": the sources that hold a hundredth of the variance or more.
std::string say_sources(const UncertaintyTerms& terms) {
    std::vector<std::string> said;
    for (const BudgetShare& part : budget_shares(terms)) {
        if (part.share >= 0.01) said.push_back(fmt::format("{} {}", part.source, percent(part.share)));
    }
    return said.empty() ? "no source is known" : fmt::format("{}", fmt::join(said, ", "));
}

std::vector<Cell> row_of(const BudgetEntry& entry, bool with_lobe, Units units) {
    const FigureKind kind = entry.figure->kind;
    const Measured stated = entry.stated();
    const auto say = [&](double value) {
        return std::isfinite(value) ? fixed(value / per_unit(kind, units), decimals_of(kind, units))
                                    : "unknown";
    };
    std::vector<Cell> row{{std::string(entry.figure->words)}};
    if (with_lobe) row.push_back({one_line(entry.lobe->name)});
    row.insert(row.end(), {{say(stated.value)},
                           {say(stated.u95)},
                           {say(without_largest(entry.line->terms))},
                           {unit_of(kind, units)}});
    return row;
}

/// A row of numbers a figure and, below it, its sources.
std::string present_entries(const std::vector<BudgetEntry>& entries, bool with_lobe, Units units) {
    std::vector<Column> columns{{"figure"}};
    if (with_lobe) columns.push_back({"lobe"});
    columns.insert(columns.end(),
                   {{"value", true}, {"+/- (95 %)", true}, {"without\nlargest", true}, {"unit"}});
    constexpr std::size_t head_lines = 2;
    std::vector<std::vector<Cell>> rows;
    rows.reserve(entries.size());
    for (const BudgetEntry& entry : entries) rows.push_back(row_of(entry, with_lobe, units));

    const std::string table = format_table(columns, rows, false);
    std::string out;
    std::size_t from = 0;
    for (std::size_t line = 0; from < table.size(); ++line) {
        const std::size_t end = table.find('\n', from) + 1;
        out += table.substr(from, end - from);
        from = end;
        if (line >= head_lines) out += paragraph(say_sources(entries[line - head_lines].line->terms), "    ");
    }
    return out;
}

std::string improve_first(const std::vector<BudgetEntry>& deciding, bool all_counted) {
    std::vector<UncertaintyTerms> terms;
    terms.reserve(deciding.size());
    for (const BudgetEntry& entry : deciding) terms.push_back(entry.line->terms);
    const BudgetShare most = budget_shares(terms).front();
    if (!(most.share > 0.0)) return "";
    return fmt::format(
        "\n{}", paragraph(fmt::format("{}: {}, {} over the figures that decide; what helps: {}.",
                                      all_counted ? "Improve first" : "Improve first, of what is counted",
                                      most.source, percent(most.share), most.remedy)));
}

/// What the budget can't hold because the run doesn't say it.
std::string present_gaps(const Budget& budget) {
    std::string out;
    if (!budget.without_error_limit.empty()) {
        const std::string runs = fmt::format("{}", fmt::join(budget.without_error_limit, " and "));
        out += paragraph(
            fmt::format(
                "[rig] error_limit isn't given in {}: there the figures carry repeatability only, not "
                "the indicators' own error, likely the largest source; add it to run.toml",
                one_line(runs)),
            "- ");
    }
    const auto& lobes = budget.figures.lobes;
    if (!lobes.empty() && lobes.front().taper.datum == TaperDatum::base_circle) {
        out += paragraph(
            "no front-to-rear zero ([datum]) is given: taper stands relative to the base circle's, and datum "
            "and passes have no part in it",
            "- ");
    }
    return out;
}

std::string present_head(const Budget& budget) {
    const CamFigures& figures = budget.figures;
    const std::string against =
        figures.has_reference ? fmt::format(" against {}", one_line(figures.reference.id)) : "";
    const std::string_view lengths = budget.units == Units::in ? "inches" : "millimetres";
    return "Where the uncertainty comes from\n" +
           paragraph(fmt::format("{}{}; lengths in {}", one_line(figures.used.id), against, lengths)) +
           paragraph(
               "Percentages are shares of the square of +/-: without a source of 75 %, half of +/- is left; "
               "without one of 19 %, nine tenths.") +
           present_gaps(budget);
}

Json run(const RunInfo& info) {
    return {{"id", info.id}, {"condition", word(info.condition)}};
}

Json sources(const UncertaintyTerms& terms, double per) {
    Json json = Json::object();
    for (const auto& source : uncertainty_sources) json[source.name] = number_json(terms.*source.part / per);
    return json;
}

}  // namespace

std::string present_budget(const Budget& budget, const std::vector<std::size_t>& lobes) {
    const bool all_counted = budget.without_error_limit.empty();
    std::string out = present_head(budget);
    if (lobes.empty()) {
        const std::vector<BudgetEntry> worst = least_certain(budget.figures);
        out += "\nThe figures that decide, each on the lobe where it is least certain\n\n";
        out += present_entries(worst, true, budget.units) + improve_first(worst, all_counted);
        if (!budget.drawn) return out;
        return out + "\n" + present_draws_head(*budget.drawn) + "\n" +
               present_draws(*budget.drawn, worst, true, budget.units);
    }
    for (const std::size_t index : lobes) {
        const LobeFigures& lobe = budget.figures.lobes[index];
        const std::vector<BudgetEntry> entries = entries_of(lobe);
        out += fmt::format("\nLobe {} ({})\n\n", one_line(lobe.name), word(lobe.kind));
        out += present_entries(entries, false, budget.units);
        out += improve_first(only_deciding(entries, budget.figures.has_reference), all_counted);
        if (!budget.drawn) continue;
        if (index == lobes.front()) out += "\n" + present_draws_head(*budget.drawn);
        out += "\n" + present_draws(*budget.drawn, entries, false, budget.units);
    }
    return out;
}

std::string present_budget_json(const Budget& budget) {
    const CamFigures& figures = budget.figures;
    Json json{{"format", "lobewright-budget/1"}, {"units", word(budget.units)}, {"used", run(figures.used)}};
    if (figures.has_reference) json["reference"] = run(figures.reference);
    if (budget.drawn) json["draws"] = {{"number", budget.drawn->draws}, {"seed", budget.drawn->seed}};
    json["lobes"] = Json::array();
    for (const LobeFigures& lobe : figures.lobes) {
        Json list = Json::array();
        for (const BudgetEntry& entry : entries_of(lobe)) {
            const double per = per_unit(entry.figure->kind, budget.units);
            const Measured stated = entry.stated();
            list.push_back({{"figure", entry.figure->key},
                            {"value", number_json(stated.value / per)},
                            {"u95", number_json(stated.u95 / per)},
                            {"sources", sources(entry.line->terms, per)}});
            if (budget.drawn) list.back()["draws"] = draws_json(*budget.drawn, entry, per);
        }
        json["lobes"].push_back({{"name", lobe.name}, {"figures", std::move(list)}});
    }
    return json_text(json);
}

}  // namespace lobewright
