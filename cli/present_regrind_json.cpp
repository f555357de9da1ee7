#include <nlohmann/json.hpp>

#include "cli/json_figure.hpp"
#include "cli/present_regrind.hpp"
#include "cli/words.hpp"

namespace lobewright {
namespace {

using Json = nlohmann::ordered_json;

Json optional_figure(const std::optional<Measured>& figure, double mm) {
    return figure ? figure_json(*figure, mm) : Json(nullptr);
}

Json reason(const CamReason& reason) {
    return {{"rule", reason.rule},
            {"says", reason.says},
            {"lobe", reason.lobe ? Json(*reason.lobe) : Json(nullptr)}};
}

Json lobe_json(const RegroundLobe& lobe, Verdict as_it_is, double mm) {
    Json out{{"name", lobe.name},
             {"kind", word(lobe.kind)},
             {"cylinder", lobe.cylinder ? Json(*lobe.cylinder) : Json(nullptr)},
             {"verdict_as_it_is", word(as_it_is)},
             {"target", lobe.has_target() ? Json(lobe.target) : Json(nullptr)}};
    if (!lobe.has_target()) return out;
    const GroundLobe& ground = lobe.ground;
    Json reasons = Json::array();
    for (const Ruling& ruling : lobe.left.rulings) {
        reasons.push_back({{"rule", ruling.rule}, {"says", ruling.says}, {"lobe", lobe.name}});
    }
    out.update({{"fits", lobe.left.possible},
                {"reasons", std::move(reasons)},
                {"notes", lobe.notes},
                {"stock", figure_json(ground.stock_mm, mm)},
                {"at_deg", ground.at_deg},
                {"edge", word(ground.edge)},
                {"depth", lobe.depth_mm / mm},
                {"shift_deg", lobe.shift_deg},
                {"shift_at_its_end", ground.shift_at_bound},
                {"centreline_deg", ground.centreline_deg},
                {"lift", ground.lift_mm / mm},
                {"taper", lobe.taper.taper_mm / mm},
                {"taper_says", lobe.taper.says},
                {"base_diameter_left", optional_figure(lobe.base_diameter_left_mm, mm)},
                {"case_left", optional_figure(lobe.case_left_mm, mm)}});
    return out;
}

Json tappet_json(const TappetPlace& place) {
    const bool away = place.fate == TappetFate::away;
    return {{"tag", place.tag},
            {"lobe", place.lobe},
            {"goes_back", place.fate == TappetFate::back || place.fate == TappetFate::only_as_is},
            {"why_not", away ? Json(place.why) : Json(nullptr)}};
}

}  // namespace

std::string present_regrind_json(const RegrindResult& result) {
    const RegrindPlan& plan = result.plan;
    const double mm = mm_per(result.units);
    Json reasons = Json::array(), lobes = Json::array(), ranking = Json::array(), separations = Json::array(),
         tappets = Json::array();
    for (const CamReason& each : plan.reasons) reasons.push_back(reason(each));
    for (std::size_t i = 0; i < plan.lobes.size(); ++i) {
        lobes.push_back(lobe_json(plan.lobes[i], plan.as_it_is.lobes[i].verdict, mm));
    }
    for (const ProfileFit& fit : plan.ranking) {
        ranking.push_back({{"profile", fit.name},
                           {"kind", word(fit.kind)},
                           {"lift", fit.lift_mm / mm},
                           {"stock", figure_json(fit.stock_mm, mm)},
                           {"fits", fit.fits},
                           {"ruled_out", fit.fits ? Json(nullptr) : Json(fit.ruled_out)}});
    }
    for (const Separation& each : plan.separations) {
        separations.push_back({{"cylinder", each.cylinder},
                               {"intake", each.intake},
                               {"exhaust", each.exhaust},
                               {"deg", each.deg},
                               {"change_deg", each.change_deg}});
    }
    for (const TappetPlace& place : plan.tappets) tappets.push_back(tappet_json(place));
    const auto& at_valve = plan.valve_train.at_valve_mm;
    const Json out{{"format", "lobewright-regrind/1"},
                   {"units", word(result.units)},
                   {"used", {{"id", plan.used.id}, {"condition", word(plan.used.condition)}}},
                   {"target", plan.target},
                   {"target_is_reference", plan.has_reference},
                   {"verdict", word(plan.verdict)},
                   {"reasons", std::move(reasons)},
                   {"notes", plan.notes},
                   {"stock", figure_json(plan.stock_mm, mm)},
                   {"limited_by", plan.limited_by},
                   {"depth", plan.depth_mm / mm},
                   {"one_depth", plan.one_depth},
                   {"shift_allowed_deg", result.shift_deg},
                   {"valve_train",
                    {{"tappet_lower", plan.valve_train.at_tappet_mm / mm},
                     {"lash_at_valve", at_valve ? Json(*at_valve / mm) : Json(nullptr)}}},
                   {"separations", std::move(separations)},
                   {"profiles", std::move(ranking)},
                   {"tappets", std::move(tappets)},
                   {"lobes", std::move(lobes)}};
    return json_text(out);
}

}  // namespace lobewright
