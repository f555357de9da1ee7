#include "cli/present_json.hpp"

#include <cmath>

#include <nlohmann/json.hpp>

#include "analysis/judge/decision.hpp"
#include "cli/json_figure.hpp"
#include "cli/words.hpp"

namespace lobewright {
namespace {

using Json = nlohmann::ordered_json;

Json pair(const EdgePair& figures, double per) {
    return {{"front", figure_json(figures.front, per)}, {"rear", figure_json(figures.rear, per)}};
}

Json reason(const std::string& rule, const std::string& says, const std::optional<std::string>& lobe) {
    return {{"rule", rule}, {"says", says}, {"lobe", lobe ? Json(*lobe) : Json(nullptr)}};
}

Json run(const RunInfo& info) {
    return {{"id", info.id}, {"condition", word(info.condition)}};
}

Json lift(const LiftFigures& lift, bool has_reference, double mm) {
    if (!has_reference) return {{"used", figure_json(lift.used_mm, mm)}};
    return {{"reference", figure_json(lift.reference_mm, mm)},
            {"used", figure_json(lift.used_mm, mm)},
            {"loss", figure_json(lift.loss_mm, mm)}};
}

Json base_circle(const BaseCircleFigures& base, double mm) {
    const double highest_deg = base.eccentricity_mm.known() ? base.eccentricity_deg : std::nan("");
    return {{"arc_deg", {number_json(base.from_deg), number_json(base.to_deg)}},
            {"runout", pair(base.runout_mm, mm)},
            {"eccentricity", figure_json(base.eccentricity_mm, mm)},
            {"eccentricity_deg", number_json(highest_deg)},
            {"form", pair(base.form_mm, mm)}};
}

Json taper(const TaperFigures& taper, double mm) {
    return {{"datum", word(taper.datum)},
            {"high_side", word(taper.high_side)},
            {"base", figure_json(taper.base_mm, mm)},
            {"opening", figure_json(taper.opening_mm, mm)},
            {"nose", figure_json(taper.nose_mm, mm)},
            {"closing", figure_json(taper.closing_mm, mm)}};
}

Json wear(const WearFigures& wear, bool has_reference, double mm) {
    if (!has_reference) {
        return {{"flat_arc_deg", figure_json(wear.flat_arc_deg)},
                {"nose_radius", {{"used", figure_json(wear.nose_radius_used_mm, mm)}}}};
    }
    const bool known = wear.max_depth_mm.known();
    return {{"max_depth", figure_json(wear.max_depth_mm, mm)},
            {"at_deg", known ? number_json(wear.at_deg) : Json(nullptr)},
            {"edge", known ? Json(word(wear.edge)) : Json(nullptr)},
            {"nose_depth", figure_json(wear.nose_depth_mm, mm)},
            {"front_nose_depth", figure_json(wear.front_nose_depth_mm, mm)},
            {"rear_nose_depth", figure_json(wear.rear_nose_depth_mm, mm)},
            {"area", figure_json(wear.area_mm_deg, mm)},
            {"volume", figure_json(wear.volume_mm3, mm * mm * mm)},
            {"flat_arc_deg", figure_json(wear.flat_arc_deg)},
            {"nose_radius",
             {{"reference", figure_json(wear.nose_radius_reference_mm, mm)},
              {"used", figure_json(wear.nose_radius_used_mm, mm)}}}};
}

Json curve(const std::vector<double>& values, double per) {
    Json list = Json::array();
    for (const double value : values) list.push_back(number_json(value / per));
    return list;
}

Json curves(const LobeCurves& curves, bool has_reference, double mm) {
    Json json{{"angle_deg", curve(curves.angle_deg, 1.0)},
              {"front", curve(curves.front_mm, mm)},
              {"rear", curve(curves.rear_mm, mm)},
              {"taper", curve(curves.taper_mm, mm)}};
    if (has_reference) {
        json["wear_front"] = curve(curves.wear_front_mm, mm);
        json["wear_rear"] = curve(curves.wear_rear_mm, mm);
    }
    return json;
}

/// What was found while measuring first (the causes of null among it), then what was found while judging.
Json notes(const std::vector<std::string>& measuring, const std::vector<std::string>& judging) {
    Json list = Json::array();
    for (const std::string& note : measuring) list.push_back(note);
    for (const std::string& note : judging) list.push_back(note);
    return list;
}

Json lobe(const LobeFigures& figures, const LobeJudgement& judged, const Result& result, bool with_curves) {
    const double mm = mm_per(result.units);
    const bool has_reference = result.figures.has_reference;
    Json reasons = Json::array();
    for (const Ruling& ruling : deciding_rulings(judged)) {
        reasons.push_back(reason(ruling.rule, ruling.says, figures.name));
    }
    Json json{{"name", figures.name},
              {"kind", word(figures.kind)},
              {"verdict", word(judged.verdict)},
              {"reasons", reasons},
              {"notes", notes(figures.notes, judged.notes)},
              {"lift", lift(figures.lift, has_reference, mm)},
              {"nose_deg", figure_json(figures.nose_deg)}};
    if (has_reference) json["phase_shift_deg"] = figure_json(figures.phase_shift_deg);
    json["base_circle"] = base_circle(figures.base_circle, mm);
    json["taper"] = taper(figures.taper, mm);
    json["wear"] = wear(figures.wear, has_reference, mm);
    if (has_reference) json["stock_to_clean"] = figure_json(figures.stock_to_clean_mm, mm);
    if (with_curves) json["curves"] = curves(figures.curves, has_reference, mm);
    return json;
}

Json cam(const Result& result) {
    const CamFigures& figures = result.figures;
    const double mm = mm_per(result.units);
    Json reasons = Json::array();
    for (const CamReason& cause : result.judgement.reasons) {
        reasons.push_back(reason(cause.rule, cause.says, cause.lobe));
    }
    Json json{{"verdict", word(result.judgement.verdict)},
              {"reasons", reasons},
              {"notes", notes(figures.notes, result.judgement.notes)}};
    if (figures.has_reference) json["stock_to_clean"] = figure_json(figures.stock_to_clean_mm, mm);
    const Push pushes = figures.thrust.pushes;
    json["thrust"] = {{"pushes", pushes == Push::unknown ? Json(nullptr) : Json(word(pushes))},
                      {"share", figure_json(figures.thrust.share)}};
    json["bend"] = figure_json(figures.bend_mm, mm);
    return json;
}

}  // namespace

Json result_json(const Result& result, bool with_curves) {
    const CamFigures& figures = result.figures;
    const double mm = mm_per(result.units);
    Json json{{"format", figures.has_reference ? "lobewright-compare/1" : "lobewright-inspect/1"},
              {"units", word(result.units)}};
    if (figures.has_reference) json["reference"] = run(figures.reference);
    json["used"] = run(figures.used);
    json["cam"] = cam(result);
    json["journals"] = Json::array();
    for (const JournalFigures& journal : figures.journals) {
        json["journals"].push_back({{"name", journal.name},
                                    {"runout", figure_json(journal.runout_mm, mm)},
                                    {"out_of_round", figure_json(journal.out_of_round_mm, mm)}});
    }
    json["lobes"] = Json::array();
    for (std::size_t i = 0; i < figures.lobes.size(); ++i) {
        json["lobes"].push_back(lobe(figures.lobes[i], result.judgement.lobes[i], result, with_curves));
    }
    return json;
}

std::string present_json(const Result& result, bool with_curves) {
    return json_text(result_json(result, with_curves));
}

}  // namespace lobewright
