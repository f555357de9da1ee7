#include "cli/present_rig_check.hpp"

#include <cmath>
#include <string_view>

#include <fmt/format.h>

#include "analysis/judge/wording.hpp"
#include "analysis/run/run.hpp"
#include "cli/json_figure.hpp"
#include "cli/output.hpp"
#include "cli/text_table.hpp"

namespace lobewright {
namespace {

using Json = nlohmann::ordered_json;

std::string_view verdict_word(CheckVerdict verdict) {
    switch (verdict) {
        case CheckVerdict::pass:
            return "pass";
        case CheckVerdict::look:
            return "look at this";
        case CheckVerdict::unknown:
            break;
    }
    return "can't tell";
}

Tone tone_of(CheckVerdict verdict) {
    return verdict == CheckVerdict::pass   ? Tone::good
           : verdict == CheckVerdict::look ? Tone::bad
                                           : Tone::open;
}

/// How a kind of figure is shown.
struct ShownQuantity {
    double per = 1.0;
    int digits = 0;
    std::string_view unit;
};

ShownQuantity shown_as(CheckQuantity quantity, Units units) {
    const bool inches = units == Units::in;
    switch (quantity) {
        case CheckQuantity::number:
            return {};
        case CheckQuantity::counts:
            return {1.0, 0, "counts"};
        case CheckQuantity::length:
            return {mm_per(units), inches ? 5 : 4, word(units)};
        case CheckQuantity::length_per_min:
            return {mm_per(units), inches ? 5 : 4, inches ? "in/min" : "mm/min"};
        case CheckQuantity::degrees:
            return {1.0, 2, "deg"};
        case CheckQuantity::microseconds:
            break;
    }
    return {1.0, 0, "us"};
}

std::string with_unit(const std::string& number, const ShownQuantity& shown) {
    return shown.unit.empty() ? number : fmt::format("{} {}", number, shown.unit);
}

std::string found_words(const CheckRow& row, Units units) {
    if (!row.value.known()) return "-";
    const ShownQuantity shown = shown_as(row.quantity, units);
    std::string number = fixed(row.value.value / shown.per, shown.digits);
    if (std::isfinite(row.value.u95)) number += " +/- " + fixed(row.value.u95 / shown.per, shown.digits);
    return with_unit(number, shown);
}

std::string limit_words(const CheckRow& row, Units units) {
    const ShownQuantity shown = shown_as(row.quantity, units);
    return fixed(row.limit / shown.per, shown.digits);
}

std::string head_words(const RigCheck& check) {
    std::size_t look = 0, unknown = 0;
    for (const CheckRow& row : check.rows) {
        look += row.verdict == CheckVerdict::look ? 1 : 0;
        unknown += row.verdict == CheckVerdict::unknown ? 1 : 0;
    }
    if (check.verdict == CheckVerdict::pass) return "RIG PASSES\n";
    if (look == 0) return fmt::format("CAN'T TELL YET: {} of {} rows\n", unknown, check.rows.size());
    return fmt::format("LOOK AT THE RIG: {} of {} rows\n", look, check.rows.size());
}

/// The lines of a run.toml that this rig decides.
std::string rig_keys(const RigCheck& check, Units units) {
    std::string out =
        fmt::format("counts_per_rev = {}\n", check.index.counts_found.value_or(check.counts_per_rev));
    if (check.direction != 0) out += fmt::format("direction      = {}\n", check.direction);
    if (check.resolution_mm)
        out +=
            fmt::format("resolution     = {}   # {}\n",
                        fixed(*check.resolution_mm / mm_per(units), units == Units::in ? 6 : 4), word(units));
    return out;
}

}  // namespace

std::string present_rig_check(const RigCheck& check, const std::vector<std::string>& notes, Units units) {
    const bool colour = stdout_takes_colour();
    std::string out = head_words(check);
    out += paragraph(
        fmt::format("{}: {} counts a turn, {} readings, {} index marks, {} turns the one way and {} "
                    "the other",
                    one_line(check.name), check.counts_per_rev, check.readings, check.index.marks,
                    check.indicators[0].both_ways.forward, check.indicators[0].both_ways.backward));
    std::vector<std::vector<Cell>> rows;
    for (const CheckRow& row : check.rows)
        rows.push_back({{row.what},
                        {found_words(row, units)},
                        {limit_words(row, units)},
                        {std::string(verdict_word(row.verdict)), tone_of(row.verdict)}});
    out += "\n" + format_table({{""}, {"found", true}, {"limit", true}, {""}}, rows, colour);
    std::string next;
    for (const CheckRow& row : check.rows)
        if (!row.says.empty()) next += paragraph(fmt::format("{}: {}", row.what, one_line(row.says)), "- ");
    if (!next.empty()) out += "\nNext\n" + next;
    if (check.counts_per_rev > 0) out += "\nFor a run's [rig]\n" + rig_keys(check, units);
    if (notes.empty()) return out;
    out += "\nNotes\n";
    for (const std::string& note : notes) out += paragraph(one_line(note), "- ");
    return out;
}

std::string present_rig_check_json(const RigCheck& check, const std::vector<std::string>& notes,
                                   Units units) {
    const double per = mm_per(units);
    Json json{{"format", "lobewright-rig-check/1"}, {"units", word(units)}};
    const auto key_of = [](CheckVerdict verdict) {
        return verdict == CheckVerdict::pass ? "pass" : verdict == CheckVerdict::look ? "look" : "unknown";
    };
    json["verdict"] = key_of(check.verdict);
    json["name"] = check.name;
    json["readings"] = check.readings;
    json["index_marks"] = check.index.marks;
    json["turns"] = {{"rising", check.indicators[0].both_ways.forward},
                     {"falling", check.indicators[0].both_ways.backward}};
    json["rows"] = Json::array();
    for (const CheckRow& row : check.rows) {
        const ShownQuantity shown = shown_as(row.quantity, units);
        json["rows"].push_back({{"key", row.key},
                                {"unit", shown.unit},
                                {"found", figure_json(row.value, shown.per)},
                                {"limit", number_json(row.limit / shown.per)},
                                {"verdict", key_of(row.verdict)},
                                {"says", row.says}});
    }
    json["rig"] = {{"counts_per_rev", check.index.counts_found.value_or(check.counts_per_rev)},
                   {"direction", check.direction == 0 ? Json(nullptr) : Json(check.direction)},
                   {"resolution", check.resolution_mm ? Json(*check.resolution_mm / per) : Json(nullptr)}};
    json["notes"] = notes;
    return json_text(json);
}

}  // namespace lobewright
