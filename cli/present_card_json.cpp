#include "cli/present_card_json.hpp"

#include <cmath>

#include <nlohmann/json.hpp>

#include "cli/json_figure.hpp"
#include "cli/words.hpp"

namespace lobewright {
namespace {

using Json = nlohmann::ordered_json;

/// A place round the cam, -180 to 180.
Json place(const Measured& figure) {
    return figure_json({wrapped_deg(figure.value), figure.u95});
}

/// Per cam degree, from per radian, to a power.
double per_deg(double mm, int order) {
    return mm * std::pow(deg_from_rad(1.0), order);
}

/// A lift that durations stand at, without what conversion leaves behind the ninth decimal.
double level(double lift_mm, double mm) {
    return std::round(1e9 * lift_mm / mm) / 1e9;
}

Json durations(const LobeCard& lobe, double mm) {
    Json list = Json::array();
    for (const CardDuration& duration : lobe.durations) {
        list.push_back({{"lift", level(duration.lift_mm, mm)},
                        {"crank_deg", figure_json(duration.crank_deg)},
                        {"opens_deg", place(duration.opens_deg.measured)},
                        {"closes_deg", place(duration.closes_deg.measured)},
                        {"opens_crank_deg", figure_json(duration.opens_crank_deg)},
                        {"closes_crank_deg", figure_json(duration.closes_crank_deg)}});
    }
    return list;
}

Json ramp(const RampFigures& ramp, double mm) {
    return {{"height", figure_json(ramp.height_mm, mm)},
            {"length_crank_deg", figure_json(ramp.length_crank_deg)},
            {"velocity", figure_json(ramp.velocity_mm_per_deg, mm)}};
}

Json lobe_json(const LobeCard& lobe, double mm) {
    Json notes = lobe.notes;
    for (const std::string& note : lobe.sweep_notes) notes.push_back(note);
    return {{"name", lobe.name},
            {"kind", word(lobe.kind)},
            {"cylinder", lobe.cylinder ? Json(*lobe.cylinder) : Json(nullptr)},
            {"lift", figure_json(lobe.lift_mm, mm)},
            {"valve_lift", figure_json(lobe.valve_lift_mm, mm)},
            {"nose_deg", place(lobe.nose_deg.measured)},
            {"top_deg", place(lobe.top_deg)},
            {"centreline_crank_deg", figure_json(lobe.centreline_crank_deg)},
            {"durations", durations(lobe, mm)},
            {"asymmetry_crank_deg", figure_json(lobe.asymmetry_crank_deg)},
            {"area", figure_json(lobe.area, mm)},
            {"velocity",
             {{"opening", figure_json(lobe.opening_velocity, per_deg(mm, 1))},
              {"closing", figure_json(lobe.closing_velocity, per_deg(mm, 1))}}},
            {"velocity_per_rad",
             {{"opening", figure_json(lobe.opening_velocity, mm)},
              {"closing", figure_json(lobe.closing_velocity, mm)}}},
            {"edge_clearance",
             {{"opening", figure_json(lobe.opening_clearance_mm, mm)},
              {"closing", figure_json(lobe.closing_clearance_mm, mm)}}},
            {"acceleration",
             {{"greatest", figure_json(lobe.greatest_acceleration, per_deg(mm, 2))},
              {"least", figure_json(lobe.least_acceleration, per_deg(mm, 2))}}},
            {"jerk", figure_json(lobe.greatest_jerk, per_deg(mm, 3))},
            {"least_radius", figure_json(lobe.least_radius_mm, mm)},
            {"ramp", {{"opening", ramp(lobe.opening_ramp, mm)}, {"closing", ramp(lobe.closing_ramp, mm)}}},
            {"notes", notes}};
}

Json cylinder_json(const CylinderCard& cylinder, double mm) {
    Json overlaps = Json::array();
    for (const CardOverlap& overlap : cylinder.overlaps) {
        overlaps.push_back(
            {{"lift", level(overlap.lift_mm, mm)}, {"crank_deg", figure_json(overlap.crank_deg)}});
    }
    return {{"cylinder", cylinder.cylinder},
            {"separation_deg", figure_json(cylinder.separation_deg)},
            {"overlaps", overlaps},
            {"advance_crank_deg", figure_json(cylinder.advance_crank_deg)},
            {"intake_index_crank_deg", figure_json(cylinder.intake_index_crank_deg)},
            {"exhaust_index_crank_deg", figure_json(cylinder.exhaust_index_crank_deg)}};
}

std::string_view key(CardQuantity quantity) {
    switch (quantity) {
        case CardQuantity::lift:
            return "lift";
        case CardQuantity::duration:
            return "duration_crank_deg";
        case CardQuantity::asymmetry:
            return "asymmetry_crank_deg";
        case CardQuantity::area:
            return "area";
        case CardQuantity::opening_velocity:
            return "velocity.opening";
        case CardQuantity::closing_velocity:
            break;
    }
    return "velocity.closing";
}

double unit_of(CardQuantity quantity, double mm) {
    switch (quantity) {
        case CardQuantity::duration:
        case CardQuantity::asymmetry:
            return 1.0;
        case CardQuantity::opening_velocity:
        case CardQuantity::closing_velocity:
            return per_deg(mm, 1);
        case CardQuantity::lift:
        case CardQuantity::area:
            break;
    }
    return mm;
}

/// What is said of: a figure's key, and the lift of a duration.
Json subject(CardQuantity quantity, double lift_mm, double mm) {
    Json out{{"figure", key(quantity)}};
    if (quantity == CardQuantity::duration) out["at_lift"] = level(lift_mm, mm);
    return out;
}

Json kind_json(const KindCard& kind, double mm) {
    Json figures = Json::array(), stand_outs = Json::array();
    for (const KindFigure& figure : kind.figures) {
        const double per = unit_of(figure.quantity, mm);
        Json one = subject(figure.quantity, figure.lift_mm, mm);
        one["lobes"] = figure.lobes;
        one["mean"] = figure_json(figure.mean, per);
        one["standard_deviation"] = number_json(figure.standard_deviation / per);
        one["range"] = number_json(figure.range / per);
        figures.push_back(std::move(one));
    }
    for (const StandOut& stands : kind.stand_outs) {
        Json one{{"lobe", stands.lobe}};
        one.update(subject(stands.quantity, stands.lift_mm, mm));
        one["difference"] = figure_json(stands.difference, unit_of(stands.quantity, mm));
        stand_outs.push_back(std::move(one));
    }
    return {{"kind", word(kind.kind)}, {"figures", figures}, {"stand_out", stand_outs}};
}

}  // namespace

std::string present_card_json(const Card& card, Units units) {
    const double mm = mm_per(units);
    Json json{{"format", "lobewright-card/1"},
              {"units", word(units)},
              {"run", {{"id", card.run.id}, {"condition", word(card.run.condition)}}},
              {"follower", word(card.cam.follower)},
              {"tdc_deg", card.tdc_deg ? Json(*card.tdc_deg) : Json(nullptr)},
              {"rocker_ratio", card.rocker_ratio ? Json(*card.rocker_ratio) : Json(nullptr)},
              {"lobes", Json::array()},
              {"cylinders", Json::array()},
              {"kinds", Json::array()},
              {"notes", card.notes}};
    for (const LobeCard& lobe : card.lobes) json["lobes"].push_back(lobe_json(lobe, mm));
    for (const CylinderCard& cylinder : card.cylinders)
        json["cylinders"].push_back(cylinder_json(cylinder, mm));
    for (const KindCard& kind : card.kinds) json["kinds"].push_back(kind_json(kind, mm));
    return json_text(json);
}

}  // namespace lobewright
