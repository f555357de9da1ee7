#include "cli/study_line.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "cli/json_figure.hpp"
#include "cli/present_json.hpp"
#include "cli/words.hpp"

namespace lobewright {
namespace {

using Json = nlohmann::ordered_json;

constexpr auto line_format = "lobewright-study/1";

std::string line_text(const Json& json) {
    return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

Json text_or_null(const std::optional<std::string>& text) {
    return text ? Json(*text) : Json(nullptr);
}

Json reference_json(const StudyItem& item) {
    return item.reference.empty() ? Json(nullptr) : Json(item.reference.string());
}

/// What the summary needs of the cam and its result doesn't have.
Json cam_json(const JudgedRun& run) {
    const double mm = mm_per(run.used.units);
    Json places = Json::array();
    for (const Lobe& lobe : run.used.lobes) places.push_back(number_json(lobe.z_mm / mm));
    return {{"part", text_or_null(run.used.cam.part)},
            {"taken", run.used.info.taken},
            {"hours", run.used.info.hours ? number_json(*run.used.info.hours) : Json(nullptr)},
            {"lobe_z", std::move(places)}};
}

Result result_of(const JudgedRun& run, const Limits& limits) {
    Result result;
    result.figures = run.figures;
    result.judgement = run.judgement;
    result.limits = limits;
    result.units = run.used.units;
    result.tappets = run.tappets;
    return result;
}

}  // namespace

std::string study_line(const JudgedRun& run, const Limits& limits) {
    const Verdict verdict = run.judgement.verdict;
    const Exit exit = run.failure ? run.failure->exit() : exit_of(verdict);
    const Json line{{"format", line_format},
                    {"path", run.item->path.string()},
                    {"reference", reference_json(*run.item)},
                    {"exit", static_cast<int>(exit)},
                    {"verdict", run.failure ? Json(nullptr) : Json(word(verdict))},
                    {"error", run.failure ? Json(run.failure->what()) : Json(nullptr)},
                    {"seconds", number_json(run.seconds)},
                    {"cam", run.failure ? Json(nullptr) : cam_json(run)},
                    {"result", run.failure ? Json(nullptr) : result_json(result_of(run, limits), false)}};
    return line_text(line) + "\n";
}

bool is_utf8(const std::string& text) try {
    static_cast<void>(Json(text).dump());
    return true;
} catch (const Json::type_error&) {
    return false;
}

std::string study_key(const StudyItem& item) {
    return line_text(Json::array({item.path.string(), reference_json(item)}));
}

std::string study_key_of(const std::string& line, const std::string& where) {
    const Json json = Json::parse(line, nullptr, false);
    if (!json.is_object() || json.value("format", Json()) != line_format || !json.contains("path") ||
        !json.contains("reference")) {
        throw DataError(
            fmt::format("{}: isn't a line of a study; name a file that lobewright study wrote", where));
    }
    return line_text(Json::array({json["path"], json["reference"]}));
}

}  // namespace lobewright
