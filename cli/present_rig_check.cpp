#include "cli/present_rig_check.hpp"

#include <algorithm>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "cli/text_table.hpp"

namespace lobewright {
namespace {

using Json = nlohmann::ordered_json;

const char* word_of(CheckVerdict verdict) {
    switch (verdict) {
        case CheckVerdict::pass:
            return "pass";
        case CheckVerdict::look:
            return "look at this";
        case CheckVerdict::unknown:
            break;
    }
    return "not known";
}

Tone tone_of(CheckVerdict verdict) {
    switch (verdict) {
        case CheckVerdict::pass:
            return Tone::good;
        case CheckVerdict::look:
            return Tone::bad;
        case CheckVerdict::unknown:
            break;
    }
    return Tone::open;
}

bool any(const std::vector<CheckRow>& rows, CheckVerdict verdict) {
    return std::any_of(rows.begin(), rows.end(),
                       [verdict](const CheckRow& row) { return row.verdict == verdict; });
}

std::string advice(const std::vector<CheckRow>& rows, CheckVerdict verdict, const std::string& head) {
    if (!any(rows, verdict)) return {};
    std::string out = "\n" + head + "\n";
    for (const CheckRow& row : rows) {
        if (row.verdict == verdict) out += paragraph(row.what + ": " + row.advice, "- ");
    }
    return out;
}

template <class Value>
Json or_null(const std::optional<Value>& value) {
    return value ? Json(*value) : Json(nullptr);
}

Json json_of(const IndicatorFigures& of) {
    return {{"there", of.there},
            {"stuck", of.stuck},
            {"noise", or_null(of.noise_mm)},
            {"drift", or_null(of.drift_mm)},
            {"repeatability", or_null(of.repeat_mm)},
            {"hysteresis", or_null(of.hysteresis_mm)},
            {"lag_deg", or_null(of.lag_deg)},
            {"backlash_deg", or_null(of.backlash_deg)},
            {"latency_us", or_null(of.latency_us)}};
}

}  // namespace

std::string present_rig_check(const RigFigures& figures, const std::vector<CheckRow>& rows, bool colour) {
    std::vector<std::vector<Cell>> cells;
    for (const CheckRow& row : rows)
        cells.push_back({{row.what}, {row.found}, {word_of(row.verdict), tone_of(row.verdict)}});
    std::string out =
        fmt::format("{:.1f} turns, {} counts a turn\n\n", figures.turns, figures.counts_per_rev);
    out += format_table({{"check"}, {"found", true}, {"verdict"}}, cells, colour);
    out += advice(rows, CheckVerdict::look, "Look at");
    out += advice(rows, CheckVerdict::unknown, "Not known for want of");
    return out + "\nFor the run's [rig]\n" + rig_lines_for_run(figures);
}

std::string present_rig_check_json(const RigFigures& figures, const std::vector<CheckRow>& rows) {
    Json list = Json::array();
    for (const CheckRow& row : rows) {
        list.push_back({{"check", row.what},
                        {"found", row.found},
                        {"verdict", word_of(row.verdict)},
                        {"advice", row.advice}});
    }
    const Json out{{"format", "lobewright-rig-check/1"},
                   {"units", "mm"},
                   {"counts_per_rev", figures.counts_per_rev},
                   {"resolution", or_null(figures.step_mm)},
                   {"turns", figures.turns},
                   {"index_off", figures.index_off},
                   {"index_width", or_null(figures.index_width)},
                   {"front", json_of(figures.front)},
                   {"rear", json_of(figures.rear)},
                   {"lines_lost", figures.lines_lost},
                   {"lines_damaged", figures.lines_damaged},
                   {"faults", figures.faults},
                   {"interruptions", figures.interruptions},
                   {"checks", list}};
    return out.dump(2) + "\n";
}

Exit exit_of(const std::vector<CheckRow>& rows) {
    if (any(rows, CheckVerdict::look)) return Exit::unfit;
    return any(rows, CheckVerdict::unknown) ? Exit::undecided : Exit::fit;
}

}  // namespace lobewright
