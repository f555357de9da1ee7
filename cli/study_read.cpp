#include "cli/study_read.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <map>
#include <system_error>
#include <utility>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "analysis/errors.hpp"
#include "analysis/units.hpp"
#include "cli/study_line.hpp"

namespace lobewright {
namespace {

using Json = nlohmann::ordered_json;

std::optional<double> value_in(const Json& figure, double mm) {
    if (!figure.is_object()) return std::nullopt;
    return figure.at("value").get<double>() * mm;
}

/// A figure that a run without a reference lacks.
std::optional<double> value_at(const Json& lobe, const char* room, const char* key, double mm) {
    const Json& in = lobe.at(room);
    return in.contains(key) ? value_in(in.at(key), mm) : std::nullopt;
}

std::optional<double> lesser_ramp(const Json& lobe, double mm) {
    if (lobe.at("taper").at("datum") != "mastered") return std::nullopt;  // its size isn't known
    const auto opening = value_at(lobe, "taper", "opening", mm),
               closing = value_at(lobe, "taper", "closing", mm);
    if (!opening || !closing) return std::nullopt;
    return std::min(std::abs(*opening), std::abs(*closing));
}

Verdict verdict_of(const Json& said) {
    for (const Verdict one : all_verdicts) {
        if (said == word(one)) return one;
    }
    throw DataError("an unknown verdict");
}

SummaryRun run_of(const Json& line) {
    const Json &cam = line.at("cam"), &result = line.at("result");
    const double mm = mm_per(result.at("units") == "in" ? Units::in : Units::mm);
    SummaryRun run;
    run.path = line.at("path").get<std::string>();
    run.compared = !line.at("reference").is_null();
    run.verdict = verdict_of(line.at("verdict"));
    if (cam.at("part").is_string()) run.part = cam.at("part").get<std::string>();
    if (cam.at("hours").is_number()) run.hours = cam.at("hours").get<double>();
    const Json& places = cam.at("lobe_z");
    for (const Json& lobe : result.at("lobes")) {
        const std::size_t i = run.lobes.size();
        SummaryLobe one;
        one.name = lobe.at("name").get<std::string>();
        one.kind = lobe.at("kind").get<std::string>();
        one.verdict = verdict_of(lobe.at("verdict"));
        if (i < places.size() && places[i].is_number()) one.z_mm = places[i].get<double>() * mm;
        one.nose_wear_mm = value_at(lobe, "wear", "nose_depth", mm);
        one.lift_loss_mm = value_at(lobe, "lift", "loss", mm);
        one.ramp_taper_mm = lesser_ramp(lobe, mm);
        run.lobes.push_back(std::move(one));
    }
    return run;
}

struct Judged {
    int exit = 0;
    std::optional<SummaryRun> run;
};

Judged judged_of(const std::string& line, const std::string& where) {
    try {
        const Json json = Json::parse(line);
        Judged out;
        if (!json.at("exit").is_number_integer()) throw DataError("exit isn't a whole number");
        out.exit = json.at("exit").get<int>();
        if (json.at("error").is_null()) out.run = run_of(json);
        return out;
    } catch (const Json::exception&) {
        throw DataError(
            fmt::format("{}: the line isn't whole; take it out, or let --resume make it again", where));
    } catch (const DataError& error) {
        throw DataError(fmt::format("{}: {}", where, error.what()));
    }
}

}  // namespace

StudySummary read_study(const std::vector<std::string>& files, std::vector<std::string>& cut_off) {
    std::map<std::string, Judged> runs;  // by key
    for (const std::string& file : files) {
        std::error_code problem;
        if (!std::filesystem::exists(file, problem)) throw NoInputError(file + ": no such file");
        std::ifstream lines(file, std::ios::binary);
        if (!lines || std::filesystem::is_directory(file, problem)) throw IoError(file + ": can't be read");
        std::string line;
        for (std::size_t at = 1; std::getline(lines, line); ++at) {
            if (lines.eof()) {
                cut_off.push_back(file);
                break;
            }
            const std::string where = fmt::format("{}:{}", file, at);
            runs[study_key_of(line, where)] = judged_of(line, where);
        }
        if (lines.bad()) throw IoError(file + ": can't be read");
    }
    StudySummaryMaker maker;
    for (const auto& [key, judged] : runs) {
        if (judged.run) {
            maker.add(*judged.run);
        } else {
            maker.add_failure(judged.exit);
        }
    }
    return maker.summary();
}

}  // namespace lobewright
