#include "cli/report/report_data.hpp"

#include <cmath>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "cli/json_figure.hpp"
#include "cli/output.hpp"
#include "cli/present_budget.hpp"
#include "cli/present_json.hpp"
#include "cli/present_stripe.hpp"
#include "cli/present_tappets.hpp"
#include "cli/present_thrust.hpp"
#include "cli/report/run_facts.hpp"
#include "cli/say_result.hpp"
#include "cli/words.hpp"

namespace lobewright {
namespace {

using Json = nlohmann::ordered_json;

Json optional_json(const std::optional<double>& value, double per = 1.0) {
    return value ? Json(*value / per) : Json(nullptr);
}

/// Lengths for drawing: 0.01 um, or a millionth of an inch over 4.
Json drawn(const std::vector<double>& values, double per) {
    const double steps = per > 1.0 ? 4e6 : 1e5;
    Json list = Json::array();
    for (const double value : values) list.push_back(number_json(std::round(value / per * steps) / steps));
    return list;
}

Json curves_json(const LobeCurves& curves, double per) {
    Json json{{"angle_deg", Json(curves.angle_deg)},
              {"front", drawn(curves.front_mm, per)},
              {"rear", drawn(curves.rear_mm, per)},
              {"taper", drawn(curves.taper_mm, per)}};
    if (curves.wear_front_mm.empty()) return json;
    json["wear_front"] = drawn(curves.wear_front_mm, per);
    json["wear_rear"] = drawn(curves.wear_rear_mm, per);
    json["wear_front_u95"] = drawn(curves.wear_front_u95_mm, per);
    json["wear_rear_u95"] = drawn(curves.wear_rear_u95_mm, per);
    json["u95_each"] = curves.wear_u95_each;
    return json;
}

/// Every second degree or so: enough to draw.
Json outline_json(const std::vector<OutlinePoint>& outline, double base_radius_mm, double per) {
    if (outline.empty()) return nullptr;
    const std::size_t each = std::max<std::size_t>(1, outline.size() / 240);
    std::vector<double> x, y;
    Json normal = Json::array();
    for (std::size_t i = 0; i < outline.size(); i += each) {
        x.push_back(outline[i].x_mm);
        y.push_back(outline[i].y_mm);
        normal.push_back(std::round(outline[i].normal_rad * 1e5) / 1e5);
    }
    return {{"each", each},
            {"base_radius", base_radius_mm / per},
            {"x", drawn(x, per)},
            {"y", drawn(y, per)},
            {"normal_rad", normal}};
}

Json facts_json(const Facts& facts) {
    Json list = Json::array();
    for (const auto& [name, value] : facts) list.push_back({name, value});
    return list;
}

Json run_json(const Run& run, Units units) {
    return {{"id", run.info.id},
            {"condition", word(run.info.condition)},
            {"taken", run.info.taken},
            {"hours", optional_json(run.info.hours)},
            {"operator", run.info.operator_name ? Json(*run.info.operator_name) : Json(nullptr)},
            {"note", run.info.note ? Json(*run.info.note) : Json(nullptr)},
            {"follower", word(run.cam.follower)},
            {"facts", facts_json(run_facts(run, units))}};
}

Json places_json(const Run& run, double per) {
    Json list = Json::array();
    for (const Lobe& lobe : run.lobes) {
        list.push_back({{"z", lobe.z_mm / per},
                        {"width", lobe.width_mm / per},
                        {"cylinder", lobe.cylinder ? Json(*lobe.cylinder) : Json(nullptr)},
                        {"tappet", lobe.tappet ? Json(*lobe.tappet) : Json(nullptr)}});
    }
    return list;
}

Json journals_json(const Result& result, const Run& run, double per) {
    Json list = Json::array();
    for (const Journal& journal : run.journals) {
        Json json{{"name", journal.name}, {"z", journal.z_mm / per}, {"figures", nullptr}};
        for (const JournalFigures& figures : result.figures.journals) {
            if (figures.name != journal.name) continue;
            json["figures"] = {{"runout", figure_json(figures.runout_mm, per)},
                               {"out_of_round", figure_json(figures.out_of_round_mm, per)}};
        }
        list.push_back(std::move(json));
    }
    return list;
}

std::string_view word_of(Proof proof) {
    return proof == Proof::good ? "good" : proof == Proof::bad ? "bad" : "open";
}

Json rules_json(const Result& result, double per) {
    Json lobes = Json::array();
    for (const LobeJudgement& judged : result.judgement.lobes) {
        Json rules = Json::array();
        for (const Ruling& ruling : judged.rulings) {
            rules.push_back({{"rule", ruling.rule},
                             {"proof", word_of(ruling.proof)},
                             {"figure", figure_json(ruling.figure, per)},
                             {"limit", ruling.limit_mm / per},
                             {"at_least", ruling.at_least},
                             {"short", decided_by(ruling, result.units)},
                             {"says", ruling.says}});
        }
        lobes.push_back(std::move(rules));
    }
    return lobes;
}

Json limits_json(const Result& result, const Run& used, double per) {
    const Limits& limits = result.limits;
    const bool run_in = used.info.condition == Condition::after;
    return {
        {"source", limits.source},
        {"lift_loss", (run_in ? limits.run_in_lift_loss_mm : limits.lift_loss_mm) / per},
        {"base_circle_runout", limits.base_circle_runout_mm / per},
        {"least_ramp_taper", (run_in ? limits.run_in_least_ramp_taper_mm : limits.least_ramp_taper_mm) / per},
        {"flat_taper", limits.flat_taper_mm / per},
        {"shown", facts_json(limit_facts(limits, used, result.units))}};
}

Json lobes_drawn(const ReportSources& sources, double per) {
    Json curves = Json::array(), outlines = Json::array();
    for (std::size_t i = 0; i < sources.outlines.size(); ++i) {
        const LobeFigures& lobe = sources.result->figures.lobes[i];
        const auto base_mm = sources.used->lobes[i].base_diameter_mm ? sources.used->lobes[i].base_diameter_mm
                                                                     : lobe.reference_base_diameter_mm;
        curves.push_back(curves_json(lobe.curves, per));
        outlines.push_back(outline_json(sources.outlines[i], 0.5 * base_mm.value_or(0.0), per));
    }
    return {{"curves", std::move(curves)}, {"outlines", std::move(outlines)}};
}

Json cautions() {
    return {
        "Turning parts catch fingers, sleeves and rags. A cam is heavy and its edges are sharp. Unplug any "
        "drive "
        "before setting up.",
        "A worn lobe sheds metal into an engine. A pass here is a measurement, not a warranty.",
        "Service limits are the engine maker's and come before those used here.",
        "The decision stays with a qualified machinist; local shop-safety rules come first."};
}

std::string made_by() {
    return fmt::format("Made by lobewright {}", LOBEWRIGHT_VERSION);
}

std::string compact(const Json& json) {
    return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

}  // namespace

std::string page_data(const std::string& json, const std::string& headline) {
    return compact({{"format", "lobewright-report/1"},
                    {"made_by", made_by()},
                    {"headline", headline},
                    {"cautions", cautions()},
                    {"result", Json::parse(json)}});
}

std::string report_data(const ReportSources& sources) {
    const Result& result = *sources.result;
    const double per = mm_per(result.units);
    Json json{{"format", "lobewright-report/1"},
              {"made_by", made_by()},
              {"headline", say_verdict(result) + say_lobes_behind(result)},
              {"because", say_because(result)},
              {"next", next_steps(result)},
              {"caution", say_caution(result)},
              {"result", Json::parse(present_json(result, false))}};
    json["used"] = run_json(*sources.used, result.units);
    json["reference"] = sources.reference ? run_json(*sources.reference, result.units) : Json(nullptr);
    json["places"] = places_json(*sources.used, per);
    json["journals"] = journals_json(result, *sources.used, per);
    json["rules"] = rules_json(result, per);
    json["limits"] = limits_json(result, *sources.used, per);
    json["tappets"] = say_tappets(result.tappets);
    json["unmeasured"] = not_measured(*sources.used, sources.reference);
    json["cautions"] = cautions();
    json.update(lobes_drawn(sources, per));
    json["stripe"] = sources.stripe ? Json::parse(present_stripe_json(*sources.stripe)) : Json(nullptr);
    json["thrust"] = sources.thrust ? Json::parse(present_thrust_json(*sources.thrust)) : Json(nullptr);
    json["no_thrust"] = sources.no_contact;
    Budget budget;
    budget.figures = result.figures;
    budget.units = result.units;
    json["budget"] = Json::parse(present_budget_json(budget));
    return compact(json);
}

}  // namespace lobewright
