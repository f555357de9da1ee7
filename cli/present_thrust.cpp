#include "cli/present_thrust.hpp"

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

constexpr int half_columns = 28;                 // of the picture, either side of no push
constexpr std::size_t thrust_points_a_line = 6;  // 12 degrees

std::string newtons(double n) {
    return fixed(n, std::abs(n) < 10.0 ? 2 : 1);
}

std::string_view way(double n) {
    return n > 0.0 ? "rear" : n < 0.0 ? "front" : "-";
}

std::string_view holder(Retention retention) {
    switch (retention) {
        case Retention::thrust_plate:
            return "a thrust plate";
        case Retention::button:
            return "a button";
        case Retention::none:
            break;
    }
    return "its taper alone";
}

std::string table(const ThrustMap& map) {
    const std::vector<Column> columns{{"lobe"},
                                      {"high side"},
                                      {"ramp\ntaper", true},
                                      {"+/-\n(95 %)", true},
                                      {"mean\npush N", true},
                                      {"+/-\n(95 %)", true},
                                      {"largest\npush N", true},
                                      {"at cam\ndeg", true},
                                      {"toward"}};
    std::vector<std::vector<Cell>> rows;
    for (const LobePush& lobe : map.lobes) {
        const double per = mm_per(map.units);
        const bool known = lobe.mean_n.known();
        const int decimals = map.units == Units::in ? 5 : 4;
        rows.push_back({{one_line(lobe.name)},
                        {std::string(word(lobe.high_side))},
                        {fixed(lobe.ramp_taper_mm.value / per, decimals)},
                        {fixed(lobe.ramp_taper_mm.u95 / per, decimals)},
                        {known ? newtons(std::abs(lobe.mean_n.value)) : "-"},
                        {known ? newtons(lobe.mean_n.u95) : "-"},
                        {known ? newtons(std::abs(lobe.largest_n.value)) : "-"},
                        {known ? fixed(lobe.largest_at_deg, 0) : "-"},
                        {std::string(way(known ? lobe.largest_n.value : lobe.ramp_taper_mm.value))}});
    }
    return format_table(columns, rows, false);
}

std::string picture(const ThrustMap& map) {
    double most = 0.0;
    for (const PushAt& at : map.through_turn) most = std::max(most, std::abs(at.push_n));
    if (!(most > 0.0)) return "";
    std::string out = fmt::format("  deg  {:<{}}|{:>{}}  N\n", "front", half_columns, "rear", half_columns);
    for (std::size_t i = 0; i < map.through_turn.size(); i += thrust_points_a_line) {
        const PushAt& at = map.through_turn[i];
        const auto marks = static_cast<std::size_t>(std::lround(std::abs(at.push_n) / most * half_columns));
        const std::string bar(marks, '#');
        const std::string front = at.push_n < 0.0 ? bar : "", rear = at.push_n < 0.0 ? "" : bar;
        out += fmt::format("{:>5}  {:>{}}|{:<{}}  {}\n", fixed(at.cam_deg, 0), front, half_columns, rear,
                           half_columns, newtons(at.push_n));
    }
    return out;
}

std::string summary(const ThrustMap& map) {
    std::string out;
    if (map.by_taper.share.known()) {
        out += paragraph(fmt::format(
            "By taper: pushes {}, net {} +/- {} of the whole (+1 is all to the rear)",
            word(map.by_taper.pushes), fixed(map.by_taper.share.value, 2), fixed(map.by_taper.share.u95, 2)));
    } else {
        out += paragraph(fmt::format("By taper: pushes {}", word(map.by_taper.pushes)));
    }
    if (map.mean_n.known()) {
        out += paragraph(fmt::format(
            "Through a turn: {} +/- {} N on average toward the {}, between {} N at {} deg and {} N at {} deg",
            newtons(std::abs(map.mean_n.value)), newtons(map.mean_n.u95), way(map.mean_n.value),
            newtons(map.farthest_front.push_n), fixed(map.farthest_front.cam_deg, 0),
            newtons(map.farthest_rear.push_n), fixed(map.farthest_rear.cam_deg, 0)));
    }
    return out;
}

Json at_json(const PushAt& at) {
    return {{"cam_deg", at.cam_deg}, {"push_n", at.push_n}};
}

}  // namespace

std::string present_thrust(const ThrustMap& map) {
    std::string out = "What the lobes push the cam by\n";
    out += paragraph(fmt::format("{}; held by {}; lengths in {}", one_line(map.run.id), holder(map.retention),
                                 map.units == Units::in ? "inches" : "millimetres"));
    out += "\n" + summary(map) + "\n" + table(map);
    const std::string drawn = picture(map);
    if (!drawn.empty()) out += "\nThrough one turn of the cam, toward the rear positive\n\n" + drawn;
    out += "\nNotes\n";
    for (const std::string& note : map.notes) out += paragraph(note, "- ");
    return out;
}

std::string present_thrust_json(const ThrustMap& map) {
    const double per = mm_per(map.units);
    Json json{
        {"format", "lobewright-thrust/1"},
        {"units", word(map.units)},
        {"run", {{"id", map.run.id}, {"condition", word(map.run.condition)}}},
        {"retention", word(map.retention)},
        {"pushes", map.by_taper.pushes == Push::unknown ? Json(nullptr) : Json(word(map.by_taper.pushes))},
        {"share", figure_json(map.by_taper.share)},
        {"mean_n", figure_json(map.mean_n)}};
    json["lobes"] = Json::array();
    for (const LobePush& lobe : map.lobes) {
        json["lobes"].push_back(
            {{"name", lobe.name},
             {"high_side", word(lobe.high_side)},
             {"ramp_taper", figure_json(lobe.ramp_taper_mm, per)},
             {"mean_n", figure_json(lobe.mean_n)},
             {"largest_n", figure_json(lobe.largest_n)},
             {"largest_at_deg", lobe.largest_n.known() ? Json(lobe.largest_at_deg) : Json(nullptr)}});
    }
    json["through_turn"] = Json::array();
    for (const PushAt& at : map.through_turn) json["through_turn"].push_back(at_json(at));
    json["notes"] = map.notes;
    return json_text(json);
}

}  // namespace lobewright
