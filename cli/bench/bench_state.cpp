#include "cli/bench/bench_state.hpp"

#include <cmath>
#include <optional>

#include <nlohmann/json.hpp>

#include "cli/json_figure.hpp"
#include "cli/present_sweep.hpp"

namespace lobewright {
namespace {

using Json = nlohmann::ordered_json;

Json given(const std::optional<double>& value) {
    return value ? Json(*value) : Json(nullptr);
}

std::string_view word_of(BenchStage stage) {
    return stage == BenchStage::place ? "place" : stage == BenchStage::sweep ? "sweep" : "finished";
}

/// Micrometres, whole: a trace on a page shows no more.
Json micrometres(const std::array<double, BenchTrace::cells>& values_mm) {
    Json list = Json::array();
    for (const double value : values_mm)
        list.push_back(std::isfinite(value) ? Json(std::lround(1000.0 * value)) : Json(nullptr));
    return list;
}

Json troubles(const SweepView& view) {
    Json list = Json::array();
    for (const ShownTrouble& trouble : view.troubles)
        list.push_back(
            {{"says", trouble.says}, {"advice", trouble.advice}, {"put_right", trouble.put_right}});
    return list;
}

Json missing(const SweepView& view) {
    Json list = Json::array();
    for (const Stretch& stretch : view.missing) list.push_back({stretch.from_deg, stretch.to_deg});
    return list;
}

}  // namespace

std::string bench_state(const SweepView& view, const BenchTrace& trace, const std::vector<ShownPlace>& places,
                        bool confirming_motor, std::int64_t heard_us) {
    Json list = Json::array();
    for (const ShownPlace& place : places)
        list.push_back({{"name", place.name}, {"journal", place.journal}, {"done", place.done}});
    const Json json{{"stage", word_of(view.stage)},
                    {"of", view.of},
                    {"journal", view.journal},
                    {"pass", view.pass},
                    {"ordinal", view.ordinal},
                    {"places", std::move(list)},
                    {"units", view.units == Units::in ? "in" : "mm"},
                    {"port", view.port},
                    {"away", view.away},
                    {"true_angles", view.true_angles},
                    {"angle_deg", given(view.angle_deg)},
                    {"front", reading_text(view.front_mm, view.units)},
                    {"rear", reading_text(view.rear_mm, view.units)},
                    {"speed_deg_per_s", view.speed_deg_per_s},
                    {"most_deg_per_s", given(view.most_deg_per_s)},
                    {"front_drift", reading_text(view.front_drift_mm, view.units)},
                    {"rear_drift", reading_text(view.rear_drift_mm, view.units)},
                    {"missing", missing(view)},
                    {"to_index_deg", given(view.to_index_deg)},
                    {"troubles", troubles(view)},
                    {"says", view.says},
                    {"motor", view.motor},
                    {"confirming_motor", confirming_motor},
                    {"heard_us", heard_us},
                    {"front_um", micrometres(trace.front_mm)},
                    {"rear_um", micrometres(trace.rear_mm)}};
    return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

}  // namespace lobewright
