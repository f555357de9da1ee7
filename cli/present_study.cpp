#include "cli/present_study.hpp"

#include <cmath>

#include <fmt/format.h>

#include "analysis/judge/wording.hpp"
#include "cli/output.hpp"
#include "cli/text_table.hpp"
#include "cli/words.hpp"

namespace lobewright {
namespace {

std::size_t total(const VerdictCounts& counts) {
    std::size_t sum = 0;
    for (const std::size_t one : counts) sum += one;
    return sum;
}

std::size_t count_of(const VerdictCounts& counts, Verdict verdict) {
    return counts.at(static_cast<std::size_t>(verdict));
}

std::size_t unfit(const VerdictCounts& counts) {
    return count_of(counts, Verdict::regrind) + count_of(counts, Verdict::scrap);
}

std::string part_name(const std::string& part) {
    return part.empty() ? "not said" : one_line(part);
}

class Lengths {
public:
    explicit Lengths(Units units) : per_(mm_per(units)), decimals_(units == Units::in ? 4 : 3) {}
    [[nodiscard]] Cell middle(const Spread& spread) const { return shown(spread, spread.median); }
    [[nodiscard]] Cell largest(const Spread& spread) const { return shown(spread, spread.largest); }
    [[nodiscard]] Cell quarters(const Spread& spread) const {
        if (spread.count == 0) return {"-"};
        return {fmt::format("{} to {}", say(spread.quarter), say(spread.three_quarters))};
    }
    [[nodiscard]] std::string say(double mm) const { return fixed(mm / per_, decimals_); }

private:
    [[nodiscard]] Cell shown(const Spread& spread, double mm) const {
        return {spread.count == 0 ? "-" : say(mm)};
    }
    double per_;
    int decimals_;
};

std::string table_of(const std::string& head, const std::vector<Column>& columns,
                     const std::vector<std::vector<Cell>>& rows) {
    return rows.empty() ? "" : fmt::format("\n{}\n\n{}", head, format_table(columns, rows, false));
}

std::string verdict_table(const StudySummary& summary) {
    std::vector<std::vector<Cell>> rows;
    rows.reserve(all_verdicts.size());
    for (const Verdict one : all_verdicts) {
        rows.push_back({{std::string(word(one))},
                        {std::to_string(count_of(summary.cams, one))},
                        {std::to_string(count_of(summary.lobes, one))}});
    }
    return table_of("Verdicts", {{"verdict"}, {"cams", true}, {"lobes", true}}, rows);
}

std::string place_table(const StudySummary& summary, const Lengths& lengths) {
    std::vector<std::vector<Cell>> rows;
    rows.reserve(summary.places.size());
    for (const PlaceSummary& place : summary.places) {
        rows.push_back({{part_name(place.part)},
                        {one_line(place.lobe)},
                        {std::to_string(total(place.verdicts))},
                        {std::to_string(unfit(place.verdicts))},
                        lengths.middle(place.nose_wear_mm),
                        lengths.quarters(place.nose_wear_mm),
                        lengths.largest(place.nose_wear_mm),
                        lengths.middle(place.lift_loss_mm),
                        lengths.middle(place.ramp_taper_mm)});
    }
    return table_of("By place along the cam, front first",
                    {{"part"},
                     {"lobe"},
                     {"cams", true},
                     {"not\nfit", true},
                     {"nose\nwear", true},
                     {"its middle\nhalf", true},
                     {"most", true},
                     {"lift\nloss", true},
                     {"ramp\ntaper", true}},
                    rows);
}

std::string hours_table(const StudySummary& summary, const Lengths& lengths) {
    std::vector<std::vector<Cell>> rows;
    rows.reserve(summary.hours.size());
    for (const HoursSummary& band : summary.hours) {
        rows.push_back({{std::isfinite(band.to) ? fmt::format("{:.0f} to {:.0f}", band.from, band.to)
                                                : fmt::format("{:.0f} on", band.from)},
                        {std::to_string(total(band.verdicts))},
                        {std::to_string(unfit(band.verdicts))},
                        lengths.middle(band.nose_wear_mm),
                        lengths.quarters(band.nose_wear_mm),
                        lengths.middle(band.worst_nose_wear_mm),
                        lengths.middle(band.wear_per_1000_h_mm)});
    }
    return table_of("By hours",
                    {{"hours"},
                     {"cams", true},
                     {"not\nfit", true},
                     {"nose\nwear", true},
                     {"its middle\nhalf", true},
                     {"worst\nlobe", true},
                     {"per\n1000 h", true}},
                    rows);
}

std::string part_table(const StudySummary& summary, const Lengths& lengths) {
    std::vector<std::vector<Cell>> rows;
    rows.reserve(summary.parts.size());
    for (const PartSummary& part : summary.parts) {
        rows.push_back({{part_name(part.part)},
                        {std::to_string(total(part.verdicts))},
                        {std::to_string(unfit(part.verdicts))},
                        {std::to_string(count_of(part.verdicts, Verdict::remeasure))},
                        {part.hours.count == 0 ? "-" : fixed(part.hours.median, 0)},
                        lengths.middle(part.nose_wear_mm),
                        lengths.quarters(part.nose_wear_mm),
                        lengths.middle(part.worst_nose_wear_mm)});
    }
    return table_of("By part",
                    {{"part"},
                     {"cams", true},
                     {"not\nfit", true},
                     {"measure\nagain", true},
                     {"hours", true},
                     {"nose\nwear", true},
                     {"its middle\nhalf", true},
                     {"worst\nlobe", true}},
                    rows);
}

}  // namespace

std::string say_study(const StudySummary& summary) {
    std::string out = fmt::format("{} runs", summary.runs);
    std::string mark = ": ";
    const auto add = [&](std::size_t count, std::string_view what) {
        if (count == 0) return;
        out += fmt::format("{}{} {}", mark, count, what);
        mark = ", ";
    };
    for (const Verdict one : all_verdicts) add(count_of(summary.cams, one), word(one));
    add(summary.runs - total(summary.cams), "not judged");
    return out;
}

std::string present_study(const StudySummary& summary, Units units) {
    const Lengths lengths(units);
    std::string out = say_study(summary) + "\n";
    out += paragraph(fmt::format("{} were held against a reference; lengths in {}, figures are medians",
                                 summary.compared, units == Units::in ? "inches" : "millimetres"));
    out += verdict_table(summary) + part_table(summary, lengths) + hours_table(summary, lengths) +
           place_table(summary, lengths);
    if (!summary.most_worn.empty()) {
        out += "\nMost worn\n";
        for (const auto& [path, mm] : summary.most_worn)
            out += paragraph(fmt::format("{} at a nose: {}", lengths.say(mm), one_line(path)), "- ");
    }
    if (!summary.failures.empty()) {
        out += "\nNot judged\n";
        for (const auto& [exit, count] : summary.failures)
            out += paragraph(fmt::format("{} with exit status {}; each line's error says why", count, exit),
                             "- ");
    }
    return out;
}

}  // namespace lobewright
