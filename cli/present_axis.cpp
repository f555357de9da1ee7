#include "cli/present_axis.hpp"

#include <cmath>
#include <vector>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "analysis/judge/wording.hpp"
#include "analysis/units.hpp"
#include "cli/json_figure.hpp"
#include "cli/output.hpp"
#include "cli/text_table.hpp"
#include "cli/words.hpp"

namespace lobewright {
namespace {

using Json = nlohmann::ordered_json;

// An amplitude below a tenth of a micrometre is no concern on a bench.
constexpr double worth_showing_mm = 0.0001;

/// Numbers in the units of the screen, one decimal finer than a bench reads.
struct Screen {
    Units units;

    [[nodiscard]] std::string length(double mm) const {
        return std::isfinite(mm) ? fixed(mm / mm_per(units), units == Units::in ? 6 : 5) : "unknown";
    }
    [[nodiscard]] std::string u95(const Measured& figure) const {
        return figure.known() ? length(figure.u95) : "";
    }
    [[nodiscard]] std::string z(double mm) const {
        return fixed(mm / mm_per(units), units == Units::in ? 2 : 1);
    }
};

/// Where an offset lies, as far as its size lets one say.
std::string toward(const OffsetFigure& offset) {
    if (!offset.size_mm.known() || offset.size_mm.value <= offset.size_mm.u95) return "-";
    return fixed(offset.toward_deg, 0);
}

std::string rests_on(const JournalReport& journal) {
    return journal.in_v_block ? fmt::format("V of {:g}", journal.v_angle_deg) : "free";
}

std::string journals_table(const AxisReport& report, const Screen& screen) {
    const std::vector<Column> columns{{"journal"},
                                      {"z", true},
                                      {"rests"},
                                      {"runout", true},
                                      {"out of\nround", true},
                                      {"+/-", true},
                                      {"axis off\nthe line", true},
                                      {"+/-", true},
                                      {"toward\ndeg", true}};
    std::vector<std::vector<Cell>> rows;
    for (const JournalReport& journal : report.journals) {
        rows.push_back({{one_line(journal.name)},
                        {screen.z(journal.z_mm)},
                        {rests_on(journal)},
                        {screen.length(journal.figures.runout_mm.value)},
                        {screen.length(journal.roundness_mm.value)},
                        {screen.u95(journal.roundness_mm)},
                        {screen.length(journal.axis.size_mm.value)},
                        {screen.u95(journal.axis.size_mm)},
                        {toward(journal.axis)}});
    }
    return format_table(columns, rows, false);
}

/// "2: 0.0012, 3: 0.0008; not seen in the V-block: 7, 9, 15".
std::string undulations(const JournalReport& journal, const Screen& screen) {
    std::string seen, hidden;
    for (const Undulation& one : journal.undulations) {
        if (!one.amplitude_mm.known()) {
            hidden += fmt::format("{}{}", hidden.empty() ? "" : ", ", one.per_turn);
        } else if (one.amplitude_mm.value > std::max(one.amplitude_mm.u95, worth_showing_mm)) {
            seen += fmt::format("{}{} a turn {}", seen.empty() ? "" : ", ", one.per_turn,
                                screen.length(one.amplitude_mm.value));
        }
    }
    if (seen.empty()) seen = "none that stands out";
    if (!hidden.empty()) hidden = "; not seen in this V-block: " + hidden;
    return seen + hidden;
}

std::string lobes_table(const AxisReport& report, const Screen& screen) {
    const std::vector<Column> columns{{"lobe"},      {"z", true},          {"axis off,\nas swept", true},
                                      {"+/-", true}, {"bend\nhere", true}, {"left when\nstraight", true},
                                      {"+/-", true}, {"toward\ndeg", true}};
    std::vector<std::vector<Cell>> rows;
    for (const LobeAxis& lobe : report.lobes) {
        rows.push_back({{one_line(lobe.name)},
                        {screen.z(lobe.z_mm)},
                        {screen.length(lobe.as_swept.size_mm.value)},
                        {screen.u95(lobe.as_swept.size_mm)},
                        {screen.length(lobe.bend.size_mm.value)},
                        {screen.length(lobe.left.size_mm.value)},
                        {screen.u95(lobe.left.size_mm)},
                        {toward(lobe.left)}});
    }
    return format_table(columns, rows, false);
}

Json offset_json(const OffsetFigure& offset, double per) {
    Json json = figure_json(offset.size_mm, per);
    return {{"size", json}, {"toward_deg", offset.size_mm.known() ? Json(offset.toward_deg) : Json(nullptr)}};
}

Json journal_json(const JournalReport& journal, double per) {
    Json undulations = Json::array();
    for (const Undulation& one : journal.undulations) {
        undulations.push_back({{"per_turn", one.per_turn},
                               {"amplitude", figure_json(one.amplitude_mm, per)},
                               {"shown", one.shown}});
    }
    return {{"name", journal.name},
            {"z", journal.z_mm / per},
            {"v_angle_deg", journal.in_v_block ? Json(journal.v_angle_deg) : Json(nullptr)},
            {"runout", figure_json(journal.figures.runout_mm, per)},
            {"out_of_round", figure_json(journal.figures.out_of_round_mm, per)},
            {"roundness", figure_json(journal.roundness_mm, per)},
            {"axis", offset_json(journal.axis, per)},
            {"undulations", std::move(undulations)}};
}

}  // namespace

std::string present_axis(const AxisReport& report, Units units) {
    const Screen screen{units};
    std::string out = paragraph(fmt::format("The cam's axis, {}; lengths in {}", one_line(report.run.id),
                                            units == Units::in ? "inches" : "millimetres"));
    if (report.bend_mm.known()) {
        out += paragraph(
            fmt::format("bend, total: {} +/- {}; base-circle runout that straightening leaves: {} +/- {}",
                        screen.length(report.bend_mm.value), screen.u95(report.bend_mm),
                        screen.length(report.runout_left_mm.value), screen.u95(report.runout_left_mm)));
    }
    if (!report.journals.empty()) {
        out += "\n" + journals_table(report, screen) + "\n";
        for (const JournalReport& journal : report.journals) {
            out += paragraph(fmt::format("{}: {}", one_line(journal.name), undulations(journal, screen)));
        }
        out += paragraph(
            fmt::format("out of round: below {:g} undulations a turn (Gaussian filter)", report.cutoff_upr));
    }
    out += "\n" + lobes_table(report, screen);
    if (!report.notes.empty()) out += "\n";
    for (const std::string& note : report.notes) out += paragraph(one_line(note), "- ");
    return out + "\n" +
           paragraph(
               "Straightening can crack a cam of chilled iron and relaxes in use: it is a qualified "
               "machinist's decision, "
               "and the maker's limits come first.");
}

std::string present_axis_json(const AxisReport& report, Units units) {
    const double per = mm_per(units);
    Json json{{"format", "lobewright-axis/1"},
              {"units", word(units)},
              {"run", {{"id", report.run.id}, {"condition", word(report.run.condition)}}},
              {"rests", report.between_centres ? "between centres" : "v-blocks"},
              {"cutoff_per_turn", report.cutoff_upr},
              {"bend", figure_json(report.bend_mm, per)},
              {"runout_left", figure_json(report.runout_left_mm, per)},
              {"journals", Json::array()},
              {"lobes", Json::array()},
              {"notes", report.notes}};
    for (const JournalReport& journal : report.journals)
        json["journals"].push_back(journal_json(journal, per));
    for (const LobeAxis& lobe : report.lobes) {
        json["lobes"].push_back({{"name", lobe.name},
                                 {"z", lobe.z_mm / per},
                                 {"as_swept", offset_json(lobe.as_swept, per)},
                                 {"bend", offset_json(lobe.bend, per)},
                                 {"left", offset_json(lobe.left, per)}});
    }
    return json_text(json);
}

}  // namespace lobewright
