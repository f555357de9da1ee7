#include "cli/present_stripe.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <nlohmann/json.hpp>

#include "analysis/judge/wording.hpp"
#include "cli/json_figure.hpp"
#include "cli/output.hpp"
#include "cli/text_table.hpp"
#include "cli/words.hpp"

namespace lobewright {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t picture_columns = 48;
constexpr std::size_t stripe_points_a_line = 5;  // 10 degrees

std::string tenths(double mm, Units units) {
    return fixed(mm / mm_per(units), units == Units::in ? 3 : 1);
}

std::string width_cell(const StripeAt& place, Units units) {
    return place.band ? tenths(place.band->width_mm(), units) : "-";
}

std::string table(const StripeReport& report) {
    const Units units = report.units;
    const std::vector<Column> columns{{"lobe"},
                                      {"heel\nband", true},
                                      {"opening\nband", true},
                                      {"nose\nband", true},
                                      {"closing\nband", true},
                                      {"toward"},
                                      {"dull at\nnose", true},
                                      {"arm at\nramps", true},
                                      {"peak\nMPa", true},
                                      {"tappet's\nedge", true}};
    std::vector<std::vector<Cell>> rows;
    for (const LobeStripe& lobe : report.lobes) {
        const Measured &opening = lobe.places[1].centre_mm, &closing = lobe.places[3].centre_mm;
        const double arm = 0.5 * (opening.value + closing.value);
        const bool proved = std::abs(arm) > 0.5 * (opening.u95 + closing.u95);
        rows.push_back({{one_line(lobe.name)},
                        {width_cell(lobe.places[0], units)},
                        {width_cell(lobe.places[1], units)},
                        {width_cell(lobe.places[2], units)},
                        {width_cell(lobe.places[3], units)},
                        {!proved     ? "neither"
                         : arm > 0.0 ? "rear"
                                     : "front"},
                        {lobe.dull_at_nose_mm ? tenths(*lobe.dull_at_nose_mm, units) : "-"},
                        {fixed(std::abs(arm) / mm_per(units), units == Units::in ? 4 : 2)},
                        {lobe.highest_peak_n_per_mm2 ? fixed(*lobe.highest_peak_n_per_mm2, 0) : "-"},
                        {lobe.least_clearance_mm ? tenths(*lobe.least_clearance_mm, units) : "-"}});
    }
    return format_table(columns, rows, false);
}

/// What the eye saw, place by place.
std::string seen_lines(const LobeStripe& lobe, Units units) {
    std::string out;
    for (const StripeAt& place : lobe.places) {
        if (!place.seen) continue;
        const std::string expected = place.band ? tenths(place.band->width_mm(), units) : "unknown";
        out += paragraph(fmt::format("{} {}: seen {} wide, side {}; expected {}: {}", one_line(lobe.name),
                                     word(place.at), tenths(place.seen->width_mm, units),
                                     word(place.seen->side), expected, place.seen->says),
                         "- ");
    }
    return out;
}

/// "|....########|": the band between the lobe's edges, front at the left.
std::string band_line(const StripePoint& point, double width_mm) {
    std::string line(picture_columns, point.band ? '.' : ' ');
    if (point.band) {
        const auto column = [&](double z_mm) {
            const double place = (z_mm / width_mm + 0.5) * static_cast<double>(picture_columns);
            return static_cast<std::size_t>(
                std::clamp(std::lround(place), 0L, static_cast<long>(picture_columns)));
        };
        const std::size_t from = column(point.band->from_mm), to = column(point.band->to_mm);
        std::fill(line.begin() + static_cast<std::ptrdiff_t>(from),
                  line.begin() + static_cast<std::ptrdiff_t>(to), '#');
    }
    return "|" + line + "|";
}

std::string place_on_line(const LobeStripe& lobe, double cam_deg) {
    for (const StripeAt& place : lobe.places) {
        if (std::abs(wrapped_deg(place.cam_deg - cam_deg)) <= 5.0) return std::string(word(place.at));
    }
    return "";
}

std::string picture(const LobeStripe& lobe) {
    std::string out = fmt::format("{:>5}  {:<{}}{}\n", "deg", "front", picture_columns - 2, "rear");
    for (std::size_t i = 0; i < lobe.around.size(); i += stripe_points_a_line) {
        const StripePoint& point = lobe.around[i];
        std::string line = fmt::format("{:>5}  {}  {}", fixed(point.cam_deg, 0),
                                       band_line(point, lobe.width_mm), place_on_line(lobe, point.cam_deg));
        line.erase(line.find_last_not_of(' ') + 1);
        out += line + "\n";
    }
    return out;
}

std::string places_table(const LobeStripe& lobe, Units units) {
    const std::vector<Column> columns{{"place"},          {"cam deg", true},     {"load N", true},
                                      {"arm", true},      {"+/- (95 %)", true},  {"touches", true},
                                      {"band", true},     {"thick\nfilm", true}, {"thin\nfilm", true},
                                      {"peak\nMPa", true}};
    const auto width = [&](const std::optional<Band>& band) {
        return band ? tenths(band->width_mm(), units) : std::string("-");
    };
    const int arm_decimals = units == Units::in ? 3 : 2;
    std::vector<std::vector<Cell>> rows;
    for (const StripeAt& at : lobe.places) {
        rows.push_back({{std::string(word(at.at))},
                        {fixed(at.cam_deg, 0)},
                        {at.load_n ? fixed(*at.load_n, 0) : "-"},
                        {fixed(at.centre_mm.value / mm_per(units), arm_decimals)},
                        {fixed(at.centre_mm.u95 / mm_per(units), arm_decimals)},
                        {width(at.contact)},
                        {width(at.band)},
                        {width(at.thick_film)},
                        {width(at.thin_film)},
                        {at.band ? fixed(at.peak_n_per_mm2, 0) : "-"}});
    }
    return format_table(columns, rows, false);
}

/// What the eye's figures come to, before any of them: which places don't look as they should.
std::string seen_summary(const StripeReport& report) {
    std::vector<std::string> off;
    bool any = false;
    for (const LobeStripe& lobe : report.lobes) {
        for (const StripeAt& place : lobe.places) {
            if (!place.seen || place.seen->match == StripeMatch::not_expected) continue;
            any = true;
            if (place.seen->match != StripeMatch::as_expected)
                off.push_back(fmt::format("{} {}", one_line(lobe.name), word(place.at)));
        }
    }
    if (!any) return "";
    if (off.empty()) return paragraph("What the eye saw is as expected.");
    return paragraph(fmt::format("Not as expected: {}. What that may mean stands under what the eye saw.",
                                 fmt::join(off, ", ")));
}

std::string head(const StripeReport& report, bool picture) {
    const std::string_view lengths = report.units == Units::in ? "inches" : "millimetres";
    const std::string_view columns =
        picture
            ? "; arms and edges toward the rear are positive"
            : "; widths of the band, the edge that it lies toward, how much of the low side stays dull at "
              "the nose, "
              "the arm that turns the tappet, the highest pressure, and what is left to the tappet's edge";
    return "The band that running should leave\n" + seen_summary(report) +
           paragraph(fmt::format("{}; lengths in {}{}", one_line(report.run.id), lengths, columns));
}

std::string foot(const StripeReport& report) {
    std::string out = "\nTaken for this\n";
    for (const std::string& assumed : report.assumed) out += paragraph(assumed, "- ");
    if (report.notes.empty()) return out;
    out += "\nNotes\n";
    for (const std::string& note : report.notes) out += paragraph(one_line(note), "- ");
    return out;
}

/// The notes of all lobes, those that several share said once.
std::string lobe_notes(const StripeReport& report) {
    std::vector<std::pair<std::string, std::vector<std::string>>> by_text;
    for (const LobeStripe& lobe : report.lobes) {
        for (const std::string& note : lobe.notes) {
            const auto at = std::find_if(by_text.begin(), by_text.end(),
                                         [&](const auto& one) { return one.first == note; });
            if (at == by_text.end()) {
                by_text.push_back({note, {lobe.name}});
            } else {
                at->second.push_back(lobe.name);
            }
        }
    }
    std::string out;
    for (const auto& [note, lobes] : by_text) {
        out +=
            paragraph(fmt::format("{}: {}", one_line(fmt::format("{}", fmt::join(lobes, ", "))), note), "- ");
    }
    return out;
}

Json band_json(const std::optional<Band>& band, double per) {
    if (!band) return nullptr;
    return {{"from", band->from_mm / per}, {"to", band->to_mm / per}, {"width", band->width_mm() / per}};
}

std::string_view word_of(StripeMatch match) {
    switch (match) {
        case StripeMatch::as_expected:
            return "as expected";
        case StripeMatch::wider:
            return "wider";
        case StripeMatch::narrower:
            return "narrower";
        case StripeMatch::other_side:
            return "other side";
        case StripeMatch::not_expected:
            break;
    }
    return "unknown";
}

Json place_json(const StripeAt& at, double lobe_width_mm, double per) {
    Json json{{"at", word(at.at)},
              {"cam_deg", at.cam_deg},
              {"arm", figure_json(at.centre_mm, per)},
              {"load_n", at.load_n ? Json(*at.load_n) : Json(nullptr)},
              {"contact", band_json(at.contact, per)},
              {"band", band_json(at.band, per)},
              {"side", at.band ? Json(word(side_of(*at.band, lobe_width_mm))) : Json(nullptr)},
              {"thick_film", band_json(at.thick_film, per)},
              {"thin_film", band_json(at.thin_film, per)},
              {"peak_mpa", at.band ? Json(at.peak_n_per_mm2) : Json(nullptr)},
              {"past_edge", at.past_edge},
              {"seen", nullptr}};
    if (at.seen) {
        json["seen"] = {{"width", at.seen->width_mm / per},
                        {"side", word(at.seen->side)},
                        {"match", word_of(at.seen->match)},
                        {"says", at.seen->says}};
    }
    return json;
}

Json lobe_json(const LobeStripe& lobe, double per) {
    Json json{{"name", lobe.name}, {"kind", word(lobe.kind)}, {"width", lobe.width_mm / per}};
    json["places"] = Json::array();
    for (const StripeAt& at : lobe.places) json["places"].push_back(place_json(at, lobe.width_mm, per));
    json["highest_peak_mpa"] =
        lobe.highest_peak_n_per_mm2 ? Json(*lobe.highest_peak_n_per_mm2) : Json(nullptr);
    json["dull_at_nose"] = lobe.dull_at_nose_mm ? Json(*lobe.dull_at_nose_mm / per) : Json(nullptr);
    json["tappet_edge_clearance"] =
        lobe.least_clearance_mm ? Json(*lobe.least_clearance_mm / per) : Json(nullptr);
    Json angles = Json::array(), from = Json::array(), to = Json::array();
    for (const StripePoint& point : lobe.around) {
        angles.push_back(point.cam_deg);
        from.push_back(point.band ? Json(point.band->from_mm / per) : Json(nullptr));
        to.push_back(point.band ? Json(point.band->to_mm / per) : Json(nullptr));
    }
    json["around"] = {{"cam_deg", std::move(angles)}, {"from", std::move(from)}, {"to", std::move(to)}};
    json["notes"] = lobe.notes;
    return json;
}

}  // namespace

std::string present_stripe(const StripeReport& report, const std::vector<std::size_t>& chosen) {
    std::string out = head(report, !chosen.empty());
    if (chosen.empty()) {
        out += "\n" + table(report);
        std::string seen;
        for (const LobeStripe& lobe : report.lobes) seen += seen_lines(lobe, report.units);
        if (!seen.empty()) out += "\nWhat the eye saw\n" + seen;
        const std::string notes = lobe_notes(report);
        if (!notes.empty()) out += "\nLobe by lobe\n" + notes;
        return out + foot(report);
    }
    for (const std::size_t index : chosen) {
        const LobeStripe& lobe = report.lobes[index];
        out += fmt::format(
            "\nLobe {} ({}), {} wide: # polished, . dull\n"
            "\n",
            one_line(lobe.name), word(lobe.kind), tenths(lobe.width_mm, report.units));
        out += picture(lobe) + "\n" + places_table(lobe, report.units);
        const std::string seen = seen_lines(lobe, report.units);
        if (!seen.empty()) out += "\n" + seen;
        for (const std::string& note : lobe.notes) out += paragraph(note, "- ");
    }
    return out + foot(report);
}

std::string present_stripe_json(const StripeReport& report) {
    const double per = mm_per(report.units);
    Json json{{"format", "lobewright-stripe/1"},
              {"units", word(report.units)},
              {"run", {{"id", report.run.id}, {"condition", word(report.run.condition)}}},
              {"crown_radius", report.crown_radius_mm / per},
              {"assumed", report.assumed}};
    json["lobes"] = Json::array();
    for (const LobeStripe& lobe : report.lobes) json["lobes"].push_back(lobe_json(lobe, per));
    json["notes"] = report.notes;
    return json_text(json);
}

}  // namespace lobewright
