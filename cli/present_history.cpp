#include "cli/present_history.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "analysis/judge/wording.hpp"
#include "cli/json_figure.hpp"
#include "cli/output.hpp"
#include "cli/text_table.hpp"
#include "cli/words.hpp"

namespace lobewright {
namespace {

using Json = nlohmann::ordered_json;

constexpr double rate_hours = 1000.0;   // rates are said per so many
constexpr std::size_t most_values = 4;  // columns of values that fit the screen

std::string hours(double h) {
    return fixed(h, std::abs(h) < 10.0 ? 1 : 0);
}

std::string reached(const FigureHistory& figure) {
    if (figure.passed) return "passed";
    if (!figure.fit.per_hour.known()) return "unknown";
    if (!figure.reached) return "not in sight";
    const LimitReached& at = *figure.reached;
    const double last = figure.fit.last_hours;
    if (figure.far) return fmt::format("far, after {}", hours(std::max(at.earliest, last)));
    if (!at.latest) return fmt::format("{} ({} on)", hours(at.hours), hours(std::max(at.earliest, last)));
    return fmt::format("{} ({} to {})", hours(std::max(at.hours, last)), hours(std::max(at.earliest, last)),
                       hours(std::max(*at.latest, last)));
}

std::vector<Cell> row_of(const LobeHistory& lobe, const FigureHistory& figure, std::size_t shown,
                         Units units) {
    const int decimals = units == Units::in ? 4 : 3;
    const int rate_decimals = decimals + 1;
    std::vector<Cell> row{{one_line(lobe.name)}};
    const std::size_t first = figure.at.size() - std::min(shown, figure.at.size());
    for (std::size_t i = first; i < figure.at.size(); ++i) {
        const Measured& value = figure.at[i].value;
        row.push_back({value.known() ? fixed(value.value / mm_per(units), decimals) : "-"});
    }
    const Measured& rate = figure.fit.per_hour;
    const double per = mm_per(units) / rate_hours;
    row.push_back({rate.known() ? fixed(rate.value / per, rate_decimals) : "-"});
    row.push_back({rate.known() ? fixed(rate.u95 / per, rate_decimals) : "-"});
    row.push_back({reached(figure)});
    return row;
}

std::string table(const History& history, FigureHistory LobeHistory::*figure) {
    const auto& at = (history.lobes.front().*figure).at;
    const std::size_t shown = std::min(most_values, at.size());
    std::vector<Column> columns{{"lobe"}};
    for (std::size_t i = at.size() - shown; i < at.size(); ++i)
        columns.push_back({fmt::format("at\n{} h", hours(at[i].hours)), true});
    columns.push_back({"per\n1000 h", true});
    columns.push_back({"+/-\n(95 %)", true});
    columns.push_back({"limit at hours\n(95 %)"});
    std::vector<std::vector<Cell>> rows;
    for (const LobeHistory& lobe : history.lobes)
        rows.push_back(row_of(lobe, lobe.*figure, shown, history.units));
    return format_table(columns, rows, false);
}

/// What has passed its limit, and what gets to one first.
std::string first_to_go(const History& history) {
    const LobeHistory* lobe = nullptr;
    const FigureHistory* first = nullptr;
    std::string_view what;
    std::string passed;
    for (const LobeHistory& one : history.lobes) {
        for (const auto& [figure, name] :
             {std::pair{&one.lift_loss, "lift loss"}, {&one.ramp_taper, "ramp taper"}}) {
            if (figure->passed)
                passed += fmt::format("{}{} of {}", passed.empty() ? "" : ", ", name, one_line(one.name));
            if (!figure->reached || figure->far) continue;
            if (first != nullptr && figure->reached->hours >= first->reached->hours) continue;
            lobe = &one;
            first = figure;
            what = name;
        }
    }
    std::string out;
    if (!passed.empty())
        out += paragraph(fmt::format(
            "Past its limit by the last run: {}. Judge the cam with lobewright compare.", passed));
    if (first != nullptr) {
        out += paragraph(fmt::format("First to reach a limit at this rate: {} of {}, {}, at {} hours (95 %)",
                                     what, one_line(lobe->name), say_length(first->limit_mm, history.units),
                                     reached(*first)));
    } else if (passed.empty()) {
        out += paragraph("No lobe is proved to reach a limit within reach of these runs.");
    }
    return out;
}

Json figure_history_json(const FigureHistory& figure, double per, bool limited) {
    Json values = Json::array();
    for (const AtHours& at : figure.at)
        values.push_back({{"hours", at.hours}, {"value", figure_json(at.value, per)}});
    Json json{{"at", std::move(values)},
              {"per_hour", figure_json(figure.fit.per_hour, per)},
              {"one_rate", figure.fit.one_rate}};
    if (!limited) return json;
    json["limit"] = figure.limit_mm / per;
    json["passed"] = figure.passed;
    json["limit_at_hours"] = nullptr;
    if (figure.reached) {
        json["limit_at_hours"] = {
            {"hours", figure.reached->hours},
            {"earliest", figure.reached->earliest},
            {"latest", figure.reached->latest ? Json(*figure.reached->latest) : Json(nullptr)}};
    }
    return json;
}

}  // namespace

std::string present_history(const History& history) {
    std::string out = "Wear against hours\n";
    std::string runs;
    for (std::size_t i = 0; i < history.runs.size(); ++i) {
        runs += fmt::format("{}{} ({} h)", i == 0 ? "" : ", ", one_line(history.runs[i].id),
                            hours(history.hours[i]));
    }
    out += paragraph(
        fmt::format("{}; lengths in {}", runs, history.units == Units::in ? "inches" : "millimetres"));
    out += "\n" + first_to_go(history);
    out += "\nLift lost since the first run\n\n" + table(history, &LobeHistory::lift_loss);
    out += "\nTaper left on the lesser ramp\n\n" + table(history, &LobeHistory::ramp_taper);
    out += "\nNotes\n";
    for (const std::string& note : history.notes) out += paragraph(one_line(note), "- ");
    return out;
}

std::string present_history_json(const History& history) {
    const double per = mm_per(history.units);
    Json json{{"format", "lobewright-history/1"}, {"units", word(history.units)}};
    json["runs"] = Json::array();
    for (std::size_t i = 0; i < history.runs.size(); ++i) {
        const RunInfo& run = history.runs[i];
        json["runs"].push_back(
            {{"id", run.id}, {"condition", word(run.condition)}, {"hours", history.hours[i]}});
    }
    json["lobes"] = Json::array();
    for (const LobeHistory& lobe : history.lobes) {
        json["lobes"].push_back({{"name", lobe.name},
                                 {"kind", word(lobe.kind)},
                                 {"lift_loss", figure_history_json(lobe.lift_loss, per, true)},
                                 {"nose_wear", figure_history_json(lobe.nose_wear, per, false)},
                                 {"ramp_taper", figure_history_json(lobe.ramp_taper, per, true)}});
    }
    json["notes"] = history.notes;
    return json_text(json);
}

}  // namespace lobewright
