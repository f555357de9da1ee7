#include "cli/present_datum.hpp"

#include <cmath>

#include <fmt/format.h>

#include "analysis/constants.hpp"
#include "analysis/judge/wording.hpp"
#include "analysis/units.hpp"
#include "cli/json_figure.hpp"
#include "cli/output.hpp"
#include "cli/text_table.hpp"
#include "cli/words.hpp"

namespace lobewright {
namespace {

using Json = nlohmann::ordered_json;

std::string length(double mm, Units units) {
    return fixed(mm / mm_per(units), units == Units::in ? 6 : 5);
}

void add_rows(std::vector<std::vector<Cell>>& rows, const std::vector<DatumEstimate>& estimates,
              const char* use, Units units) {
    for (const DatumEstimate& one : estimates) {
        rows.push_back({{one_line(one.source)},
                        {length(one.rear_minus_front_mm, units)},
                        {length(normal_95 * one.u_mm, units)},
                        {use}});
    }
}

/// Whether what watches the zero still allows what was combined.
std::string check_words(const DatumReport& report) {
    std::string out;
    for (const DatumEstimate& check : report.checks) {
        const double off = check.rear_minus_front_mm - report.together->rear_minus_front_mm;
        const double reach = 2.0 * std::hypot(check.u_mm, report.together->u_mm);
        out += std::abs(off) <= reach
                   ? paragraph(fmt::format("by the {} it is right", check.source), "- ")
                   : paragraph(fmt::format(
                                   "by the {} it is off by {} {}: the zero has drifted, or they aren't what "
                                   "they should be; take it again",
                                   check.source, length(off, report.units), word(report.units)),
                               "- ");
    }
    return out;
}

std::string together_words(const DatumReport& report) {
    const CombinedDatum& all = *report.together;
    std::string out;
    if (all.degrees_of_freedom > 0) {
        out += paragraph(
            all.agree ? "The findings agree."
                      : fmt::format("The findings do not agree: they scatter like this {} times in 100 when "
                                    "all is well. u is widened by that; find out what moved.",
                                    fixed(100.0 * all.by_chance, 1)));
    }
    out += check_words(report);
    if (!out.empty()) out += "\n";
    out += "For run.toml\n";
    out += fmt::format("[datum]\nmethod           = \"{}\"\nrear_minus_front = {}\nu                = {}\n",
                       word(report.method), length(all.rear_minus_front_mm, report.units),
                       length(all.u_mm, report.units));
    return out;
}

Json estimates_json(const std::vector<DatumEstimate>& estimates, double per) {
    Json out = Json::array();
    for (const DatumEstimate& one : estimates) {
        out.push_back({{"source", one.source},
                       {"rear_minus_front", one.rear_minus_front_mm / per},
                       {"u", one.u_mm / per}});
    }
    return out;
}

}  // namespace

std::string present_datum(const DatumReport& report) {
    std::string out =
        paragraph(fmt::format("The front-to-rear zero, {}; lengths in {}", one_line(report.run.id),
                              report.units == Units::in ? "inches" : "millimetres"));
    std::vector<std::vector<Cell>> rows;
    add_rows(rows, report.estimates, "reading", report.units);
    add_rows(rows, report.checks, "check", report.units);
    if (rows.empty()) {
        return out + "\n" +
               paragraph(
                   "Nothing is known of it. Read both indicators on a true parallel (--bar VALUE,U), or turn "
                   "the cam end "
                   "for end and sweep it again (--turned RUN).");
    }
    out += "\n" +
           format_table({{"by"}, {"rear minus\nfront", true}, {"+/- (95 %)", true}, {"use"}}, rows, false) +
           "\n";
    if (report.together) return out + together_words(report);
    return out + paragraph(
                     "That only watches a zero. Read both indicators on a true parallel (--bar VALUE,U), or "
                     "turn the cam "
                     "end for end and sweep it again (--turned RUN).");
}

std::string present_datum_json(const DatumReport& report) {
    const double per = mm_per(report.units);
    Json json{{"format", "lobewright-datum/1"},
              {"units", word(report.units)},
              {"run", {{"id", report.run.id}, {"condition", word(report.run.condition)}}},
              {"readings", estimates_json(report.estimates, per)},
              {"checks", estimates_json(report.checks, per)},
              {"together", nullptr}};
    if (report.together) {
        const CombinedDatum& all = *report.together;
        json["together"] = {{"method", word(report.method)},
                            {"rear_minus_front", all.rear_minus_front_mm / per},
                            {"u", all.u_mm / per},
                            {"chi_squared", all.chi_squared},
                            {"degrees_of_freedom", all.degrees_of_freedom},
                            {"by_chance", all.by_chance},
                            {"agree", all.agree}};
    }
    return json_text(json);
}

}  // namespace lobewright
