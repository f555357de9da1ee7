#include "cli/present_study_json.hpp"

#include <cstddef>

#include <nlohmann/json.hpp>

#include "analysis/judge/wording.hpp"
#include "cli/json_figure.hpp"
#include "cli/words.hpp"

namespace lobewright {
namespace {

using Json = nlohmann::ordered_json;

Json spread_json(const Spread& spread, double per = 1.0) {
    if (spread.count == 0) return nullptr;
    return {{"count", spread.count},
            {"median", number_json(spread.median / per)},
            {"quarter", number_json(spread.quarter / per)},
            {"three_quarters", number_json(spread.three_quarters / per)},
            {"largest", number_json(spread.largest / per)}};
}

Json verdicts_json(const VerdictCounts& counts) {
    Json json = Json::object();
    for (const Verdict one : all_verdicts)
        json[std::string(word(one))] = counts.at(static_cast<std::size_t>(one));
    return json;
}

Json part_json(const std::string& part) {
    return part.empty() ? Json(nullptr) : Json(part);
}

Json lobe_places_json(const StudySummary& summary, double mm) {
    Json list = Json::array();
    for (const PlaceSummary& place : summary.places) {
        list.push_back({{"part", part_json(place.part)},
                        {"lobe", place.lobe},
                        {"kind", place.kind},
                        {"z", place.z_mm ? number_json(*place.z_mm / mm) : Json(nullptr)},
                        {"verdicts", verdicts_json(place.verdicts)},
                        {"nose_wear", spread_json(place.nose_wear_mm, mm)},
                        {"lift_loss", spread_json(place.lift_loss_mm, mm)},
                        {"ramp_taper", spread_json(place.ramp_taper_mm, mm)}});
    }
    return list;
}

Json hours_json(const StudySummary& summary, double mm) {
    Json list = Json::array();
    for (const HoursSummary& band : summary.hours) {
        list.push_back({{"from", band.from},
                        {"to", number_json(band.to)},
                        {"verdicts", verdicts_json(band.verdicts)},
                        {"nose_wear", spread_json(band.nose_wear_mm, mm)},
                        {"worst_nose_wear", spread_json(band.worst_nose_wear_mm, mm)},
                        {"wear_per_1000_h", spread_json(band.wear_per_1000_h_mm, mm)}});
    }
    return list;
}

Json parts_json(const StudySummary& summary, double mm) {
    Json list = Json::array();
    for (const PartSummary& part : summary.parts) {
        list.push_back({{"part", part_json(part.part)},
                        {"verdicts", verdicts_json(part.verdicts)},
                        {"hours", spread_json(part.hours)},
                        {"nose_wear", spread_json(part.nose_wear_mm, mm)},
                        {"worst_nose_wear", spread_json(part.worst_nose_wear_mm, mm)}});
    }
    return list;
}

}  // namespace

std::string present_study_json(const StudySummary& summary, Units units) {
    const double mm = mm_per(units);
    Json json{{"format", "lobewright-study-summary/1"},
              {"units", word(units)},
              {"runs", summary.runs},
              {"compared", summary.compared},
              {"cams", verdicts_json(summary.cams)},
              {"lobes", verdicts_json(summary.lobes)}};
    json["failures"] = Json::array();
    for (const auto& [exit, count] : summary.failures)
        json["failures"].push_back({{"exit", exit}, {"runs", count}});
    json["parts"] = parts_json(summary, mm);
    json["hours"] = hours_json(summary, mm);
    json["places"] = lobe_places_json(summary, mm);
    json["most_worn"] = Json::array();
    for (const auto& [path, worst_mm] : summary.most_worn)
        json["most_worn"].push_back({{"path", path}, {"nose_wear", number_json(worst_mm / mm)}});
    return json_text(json);
}

}  // namespace lobewright
