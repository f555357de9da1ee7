#include <array>
#include <cmath>
#include <string_view>

#include <nlohmann/json.hpp>

#include "cli/json_figure.hpp"
#include "cli/present_repeat.hpp"

namespace lobewright {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::array<std::string_view, change_sources> source_keys{
    "passes", "set_up", "operator", "indicator", "datum", "step", "smoothing", "table"};

Json variance(const Variance& v, double per) {
    if (!v.known()) return nullptr;
    return {{"deviation", number_json(v.deviation() / per)},
            {"low", number_json(std::sqrt(v.low) / per)},
            {"high", number_json(std::sqrt(v.high) / per)},
            {"degrees_of_freedom", number_json(v.degrees_of_freedom)},
            {"set_to_zero", v.negative}};
}

Json limit(const Variance& v, double per) {
    return v.known() ? number_json(limit_of_two(v) / per) : Json(nullptr);
}

Json lobes(const RepeatedFigure& figure, double per) {
    Json out = Json::array();
    for (const LobeScatter& lobe : figure.lobes) {
        const bool known = lobe.passes.degrees_of_freedom > 0.0;
        out.push_back({{"name", lobe.lobe},
                       {"mean", figure.in_degrees ? Json(nullptr) : number_json(lobe.mean / per)},
                       {"deviation", known ? number_json(std::sqrt(lobe.passes.value) / per) : Json(nullptr)},
                       {"degrees_of_freedom", lobe.passes.degrees_of_freedom}});
    }
    return out;
}

Json figure(const RepeatedFigure& f, Units units) {
    const double per = f.in_degrees ? 1.0 : mm_per(units);
    const NestedVariances& v = f.variances;
    return {{"figure", f.key},
            {"unit", f.in_degrees ? "deg" : word(units)},
            {"between_runs", f.between_runs},
            {"pass", variance(v.pass, per)},
            {"set_up", variance(v.set_up, per)},
            {"operator", variance(v.by_operator, per)},
            {"reproducibility", variance(v.reproducibility, per)},
            {"repeatability_limit", limit(v.pass, per)},
            {"reproducibility_limit", limit(v.reproducibility, per)},
            {"passes_in_set_up", v.passes_in_set_up},
            {"operators_in_set_up", v.operators_in_set_up},
            {"lobes", lobes(f, per)}};
}

Json plan(const Plan& p) {
    return {{"passes", p.passes}, {"set_ups", p.set_ups}};
}

Json change(const StudiedChange& c, double per) {
    const auto of = [&](const ProvableChange& p) {
        Json shares = Json::object();
        for (std::size_t i = 0; i < change_sources; ++i) shares[std::string(source_keys[i])] = p.shares[i];
        return Json{{"u95", number_json(p.u95_mm / per)},
                    {"high", number_json(p.high_mm / per)},
                    {"plan", plan(p.plan)},
                    {"limited_by", source_keys[static_cast<std::size_t>(p.largest())]},
                    {"shares", std::move(shares)}};
    };
    Json out{{"figure", c.key}, {"smallest", of(c.smallest)}};
    if (c.needed) {
        out["wanted"] = {{"value", c.needed->want_mm / per},
                         {"reached", c.needed->plan.has_value()},
                         {"with", of(c.needed->reached)}};
    }
    return out;
}

}  // namespace

std::string present_repeat_json(const RepeatStudy& study) {
    const double per = mm_per(study.units);
    Json json{{"format", "lobewright-repeat/1"}, {"units", word(study.units)}};
    json["runs"] = Json::array();
    for (const StudiedRun& run : study.runs) {
        json["runs"].push_back(
            {{"id", run.info.id},
             {"condition", word(run.info.condition)},
             {"operator", run.info.operator_name ? Json(*run.info.operator_name) : Json(nullptr)},
             {"passes", {{"least", run.least_passes}, {"most", run.most_passes}}}});
    }
    json["operators"] = study.operators;
    json["provable"] = {{"lift_loss", change(study.lift, per)},
                        {"ramp_taper", study.ramp_taper ? change(*study.ramp_taper, per) : Json(nullptr)}};
    json["figures"] = Json::array();
    for (const RepeatedFigure& f : study.figures) json["figures"].push_back(figure(f, study.units));
    json["notes"] = study.notes;
    return json_text(json);
}

}  // namespace lobewright
