#include "cli/present_budget.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <nlohmann/json.hpp>

#include "analysis/judge/wording.hpp"
#include "cli/output.hpp"
#include "cli/text_table.hpp"
#include "cli/words.hpp"

namespace lobewright {
namespace {

using Json = nlohmann::ordered_json;

enum class Kind { length, area, volume, angle };

/// A figure that has a budget: its key in JSON, its words on the screen, and its value as it is stated (which
/// may be corrected or wrapped, where the budget's is as it was fitted).
struct Figure {
    std::string_view key;
    std::string_view words;
    Kind kind;
    Measured (*stated)(const LobeFigures&);
};

using L = LobeFigures;
constexpr auto all_figures = std::to_array<Figure>({
    {"lift.reference", "lift, reference", Kind::length, [](const L& l) { return l.lift.reference_mm; }},
    {"lift.used", "lift, used", Kind::length, [](const L& l) { return l.lift.used_mm; }},
    {"lift.loss", "lift, loss", Kind::length, [](const L& l) { return l.lift.loss_mm; }},
    {"nose_deg", "nose at", Kind::angle, [](const L& l) { return l.nose_deg; }},
    {"phase_shift_deg", "phase shift", Kind::angle, [](const L& l) { return l.phase_shift_deg; }},
    {"base_circle.runout.front", "base circle, runout front", Kind::length,
     [](const L& l) { return l.base_circle.runout_mm.front; }},
    {"base_circle.runout.rear", "base circle, runout rear", Kind::length,
     [](const L& l) { return l.base_circle.runout_mm.rear; }},
    {"base_circle.eccentricity", "base circle, eccentricity", Kind::length,
     [](const L& l) { return l.base_circle.eccentricity_mm; }},
    {"taper.base", "taper, base circle", Kind::length, [](const L& l) { return l.taper.base_mm; }},
    {"taper.opening", "taper, opening ramp", Kind::length, [](const L& l) { return l.taper.opening_mm; }},
    {"taper.nose", "taper, nose", Kind::length, [](const L& l) { return l.taper.nose_mm; }},
    {"taper.closing", "taper, closing ramp", Kind::length, [](const L& l) { return l.taper.closing_mm; }},
    {"wear.max_depth", "wear, greatest depth", Kind::length, [](const L& l) { return l.wear.max_depth_mm; }},
    {"wear.nose_depth", "wear, nose", Kind::length, [](const L& l) { return l.wear.nose_depth_mm; }},
    {"wear.front_nose_depth", "wear, nose front", Kind::length,
     [](const L& l) { return l.wear.front_nose_depth_mm; }},
    {"wear.rear_nose_depth", "wear, nose rear", Kind::length,
     [](const L& l) { return l.wear.rear_nose_depth_mm; }},
    {"wear.area", "wear, area", Kind::area, [](const L& l) { return l.wear.area_mm_deg; }},
    {"wear.volume", "wear, volume", Kind::volume, [](const L& l) { return l.wear.volume_mm3; }},
    {"wear.nose_radius.reference", "nose radius, reference", Kind::length,
     [](const L& l) { return l.wear.nose_radius_reference_mm; }},
    {"wear.nose_radius.used", "nose radius, used", Kind::length,
     [](const L& l) { return l.wear.nose_radius_used_mm; }},
});

/// What verdicts turn on, and the phase that wear hangs on.
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

/// One figure of one lobe and its budget.
struct Entry {
    const Figure* figure;
    const LobeFigures* lobe;
    const BudgetLine* line;
};

/// In the order of `all_figures`.
std::vector<Entry> entries_of(const LobeFigures& lobe) {
    std::vector<Entry> entries;
    for (const Figure& figure : all_figures) {
        const auto line = std::find_if(lobe.budget.begin(), lobe.budget.end(),
                                       [&](const BudgetLine& l) { return l.figure == figure.key; });
        if (line != lobe.budget.end()) entries.push_back({&figure, &lobe, &*line});
    }
    return entries;
}

std::vector<Entry> only_deciding(std::vector<Entry> entries, bool has_reference) {
    std::erase_if(entries, [&](const Entry& entry) { return !decides(entry.figure->key, has_reference); });
    return entries;
}

/// Each deciding figure on the lobe where its u95 is largest.
std::vector<Entry> least_certain(const CamFigures& figures) {
    std::vector<Entry> worst;
    for (const LobeFigures& lobe : figures.lobes) {
        for (const Entry& entry : only_deciding(entries_of(lobe), figures.has_reference)) {
            const auto same = std::find_if(worst.begin(), worst.end(),
                                           [&](const Entry& w) { return w.figure == entry.figure; });
            if (same == worst.end()) {
                worst.push_back(entry);
            } else if (entry.line->measured.u95 > same->line->measured.u95) {
                *same = entry;
            }
        }
    }
    return worst;
}

/// Millimetres (or their powers) in one unit that a figure is shown in.
double per_unit(Kind kind, Units units) {
    const double mm = mm_per(units);
    return kind == Kind::angle ? 1.0 : kind == Kind::volume ? mm * mm * mm : mm;
}

std::string unit_of(Kind kind, Units units) {
    switch (kind) {
        case Kind::length:
            return std::string(word(units));
        case Kind::area:
            return fmt::format("{} x deg", word(units));
        case Kind::volume:
            return fmt::format("{}3", word(units));
        case Kind::angle:
            break;
    }
    return "deg";
}

/// Decimals one finer than a bench reads, so that what is left of +/- isn't rounded away.
int decimals_of(Kind kind, Units units) {
    const bool inches = units == Units::in;
    switch (kind) {
        case Kind::length:
            return inches ? 6 : 5;
        case Kind::area:
            return inches ? 5 : 4;
        case Kind::volume:
            return inches ? 7 : 3;
        case Kind::angle:
            break;
    }
    return 4;
}

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

std::vector<Cell> row_of(const Entry& entry, bool with_lobe, Units units) {
    const Kind kind = entry.figure->kind;
    const Measured stated = entry.figure->stated(*entry.lobe);
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
std::string present_entries(const std::vector<Entry>& entries, bool with_lobe, Units units) {
    std::vector<Column> columns{{"figure"}};
    if (with_lobe) columns.push_back({"lobe"});
    columns.insert(columns.end(),
                   {{"value", true}, {"+/- (95 %)", true}, {"without\nlargest", true}, {"unit"}});
    constexpr std::size_t head_lines = 2;
    std::vector<std::vector<Cell>> rows;
    rows.reserve(entries.size());
    for (const Entry& entry : entries) rows.push_back(row_of(entry, with_lobe, units));

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

std::string improve_first(const std::vector<Entry>& deciding, bool all_counted) {
    std::vector<UncertaintyTerms> terms;
    terms.reserve(deciding.size());
    for (const Entry& entry : deciding) terms.push_back(entry.line->terms);
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

Json number(double value) {
    return std::isfinite(value) ? Json(value) : Json(nullptr);
}

Json run(const RunInfo& info) {
    return {{"id", info.id}, {"condition", word(info.condition)}};
}

Json sources(const UncertaintyTerms& terms, double per) {
    Json json = Json::object();
    for (const auto& source : uncertainty_sources) json[source.name] = number(terms.*source.part / per);
    return json;
}

}  // namespace

std::string present_budget(const Budget& budget, const std::vector<std::size_t>& lobes) {
    const bool all_counted = budget.without_error_limit.empty();
    std::string out = present_head(budget);
    if (lobes.empty()) {
        const std::vector<Entry> worst = least_certain(budget.figures);
        out += "\nThe figures that decide, each on the lobe where it is least certain\n\n";
        return out + present_entries(worst, true, budget.units) + improve_first(worst, all_counted);
    }
    for (const std::size_t index : lobes) {
        const LobeFigures& lobe = budget.figures.lobes[index];
        const std::vector<Entry> entries = entries_of(lobe);
        out += fmt::format("\nLobe {} ({})\n\n", one_line(lobe.name), word(lobe.kind));
        out += present_entries(entries, false, budget.units);
        out += improve_first(only_deciding(entries, budget.figures.has_reference), all_counted);
    }
    return out;
}

std::string present_budget_json(const Budget& budget) {
    const CamFigures& figures = budget.figures;
    Json json{{"format", "lobewright-budget/1"}, {"units", word(budget.units)}, {"used", run(figures.used)}};
    if (figures.has_reference) json["reference"] = run(figures.reference);
    json["lobes"] = Json::array();
    for (const LobeFigures& lobe : figures.lobes) {
        Json list = Json::array();
        for (const Entry& entry : entries_of(lobe)) {
            const double per = per_unit(entry.figure->kind, budget.units);
            const Measured stated = entry.figure->stated(lobe);
            list.push_back({{"figure", entry.figure->key},
                            {"value", number(stated.value / per)},
                            {"u95", number(stated.u95 / per)},
                            {"sources", sources(entry.line->terms, per)}});
        }
        json["lobes"].push_back({{"name", lobe.name}, {"figures", std::move(list)}});
    }
    // A name in a run need not be UTF-8; JSON must be.
    return json.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace lobewright
