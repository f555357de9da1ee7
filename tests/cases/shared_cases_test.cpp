// Runs that this project's code didn't make, from the folder shared/cases beside the project: what compare
// and judge find, against truth computed from the closed-form cams. A figure's truth is {value, slack}, in
// the run's units; slack is how far it moves with the part of the base-circle arc that a program may take,
// and is added to u95.
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "analysis/compare.hpp"
#include "analysis/judge/judgement.hpp"
#include "analysis/judge/limits.hpp"
#include "analysis/run/run_folder.hpp"
#include "tests/coverage/coverage_study.hpp"

using namespace lobewright;
using Json = nlohmann::json;

namespace {

constexpr double share_inside =
    0.93;                         // 95 % less what some hundred figures of a handful of cams may scatter by
constexpr double farthest = 2.0;  // in u95 + slack: what a 95 % interval is missed by once in 10 000
constexpr double heel_deg = 8.0;  // what the slack allows for

/// Folders of the cases, empty when the project stands alone.
std::vector<std::filesystem::path> case_folders() {
    const char* named = std::getenv("LOBEWRIGHT_CASES");
    const std::filesystem::path root = named != nullptr
                                           ? std::filesystem::path(named)
                                           : std::filesystem::path(LOBEWRIGHT_SOURCE_DIR) / "../shared/cases";
    std::vector<std::filesystem::path> folders;
    if (!std::filesystem::is_directory(root)) {
        WARN("skipped: no folder " << root.string() << "; set LOBEWRIGHT_CASES to where the cases are");
        return folders;
    }
    for (const auto& entry : std::filesystem::directory_iterator(root)) {
        if (std::filesystem::exists(entry.path() / "truth.json")) folders.push_back(entry.path());
    }
    std::sort(folders.begin(), folders.end());
    return folders;
}

struct Case {
    std::string name;
    Json truth;
    CamFigures figures;
    CamJudgement judged;
    double unit_mm = 1.0;
};

Case compared(const std::filesystem::path& folder) {
    Case out;
    out.name = folder.filename().string();
    out.truth = Json::parse(std::ifstream(folder / "truth.json"));
    const Run used = read_run(folder / "used");
    out.figures = compare_runs(read_run(folder / "ref"), used);
    out.judged = judge(out.figures, Limits{}, used.units);
    out.unit_mm = mm_per(used.units);
    return out;
}

std::string verdict_word(Verdict verdict) {
    constexpr std::array<const char*, 4> words{"reuse", "remeasure", "regrind", "scrap"};
    return words.at(static_cast<std::size_t>(verdict));
}

std::string side_word(HighSide side) {
    constexpr std::array<const char*, 4> words{"front", "rear", "none", "unknown"};
    return words.at(static_cast<std::size_t>(side));
}

std::string push_word(Push push) {
    constexpr std::array<const char*, 5> words{"front", "rear", "balanced", "none", "unknown"};
    return words.at(static_cast<std::size_t>(push));
}

/// What one of the truth's units is in mm, deg, mm deg or mm^3.
double unit_of(const std::string& key, double unit_mm) {
    if (key.size() > 4 && key.substr(key.size() - 4) == "_deg") return 1.0;
    return key == "wear.volume" ? unit_mm * unit_mm * unit_mm : unit_mm;
}

void check_verdict(Verdict verdict, const Json& allowed) {
    if (allowed.is_null()) return;
    CAPTURE(verdict_word(verdict), allowed.dump());
    CHECK(std::find(allowed.begin(), allowed.end(), verdict_word(verdict)) != allowed.end());
}

/// How many figures were compared, and how many held.
struct Tally {
    int count = 0;
    int inside = 0;

    void add(const Measured& found, const Json& truth, double unit) {
        if (truth.is_null()) return;
        if (!found.known()) {
            CHECK(truth.value("optional", false));
            return;
        }
        const double error = found.value - unit * truth.at("value").get<double>();
        const double reach = found.u95 + unit * truth.at("slack").get<double>();
        CAPTURE(error, found.u95, reach);
        CHECK(std::isfinite(found.u95));
        CHECK(std::abs(error) <= farthest * reach);
        ++count;
        inside += std::abs(error) <= reach;
    }
};

const Json& lobe_truth(const Json& truth, const std::string& name) {
    const auto& lobes = truth.at("lobes");
    const auto at =
        std::find_if(lobes.begin(), lobes.end(), [&](const Json& l) { return l.at("name") == name; });
    REQUIRE(at != lobes.end());
    return *at;
}

}  // namespace

TEST_CASE("shared cases: verdicts", "[cases]") {
    for (const auto& folder : case_folders()) {
        const Case c = compared(folder);
        CAPTURE(c.name);
        check_verdict(c.judged.verdict, c.truth.at("cam").at("verdict"));
        for (const auto& lobe : c.judged.lobes) {
            CAPTURE(lobe.name);
            check_verdict(lobe.verdict, lobe_truth(c.truth, lobe.name).at("verdict"));
        }
    }
}

TEST_CASE("shared cases: figures lie inside their stated uncertainty", "[cases]") {
    Tally tally;
    for (const auto& folder : case_folders()) {
        const Case c = compared(folder);
        CAPTURE(c.name);
        CHECK(c.figures.lobes.size() == c.truth.at("lobes").size());
        for (const auto& lobe : c.figures.lobes) {
            for (const auto& [key, truth] : lobe_truth(c.truth, lobe.name).at("figures").items()) {
                CAPTURE(lobe.name, key);
                tally.add(figure_of(lobe, key), truth, unit_of(key, c.unit_mm));
            }
        }
        const auto& cam = c.truth.at("cam");
        tally.add(c.figures.stock_to_clean_mm, cam.at("stock_to_clean"), c.unit_mm);
        tally.add(c.figures.thrust.share, cam.at("thrust").at("share"), 1.0);
        tally.add(c.figures.bend_mm, cam.at("bend"), c.unit_mm);
    }
    CAPTURE(tally.inside, tally.count);
    CHECK(tally.inside >= share_inside * tally.count);
}

TEST_CASE("shared cases: sides, pushes and datum", "[cases]") {
    for (const auto& folder : case_folders()) {
        const Case c = compared(folder);
        CAPTURE(c.name);
        const auto& pushes = c.truth.at("cam").at("thrust").at("pushes");
        if (!pushes.is_null()) CHECK(push_word(c.figures.thrust.pushes) == pushes.get<std::string>());
        for (const auto& lobe : c.figures.lobes) {
            const auto& labels = lobe_truth(c.truth, lobe.name).at("labels");
            CAPTURE(lobe.name);
            CHECK((lobe.taper.datum == TaperDatum::mastered ? "mastered" : "base-circle") ==
                  labels.at("taper.datum").get<std::string>());
            const auto& side = labels.at("taper.high_side");
            if (!side.is_null()) CHECK(side_word(lobe.taper.high_side) == side.get<std::string>());
        }
    }
}

TEST_CASE("shared cases: where the eccentricity is highest and where the heel lies", "[cases]") {
    for (const auto& folder : case_folders()) {
        const Case c = compared(folder);
        CAPTURE(c.name);
        for (const auto& lobe : c.figures.lobes) {
            const auto& truth = lobe_truth(c.truth, lobe.name);
            const auto& circle = lobe.base_circle;
            CAPTURE(lobe.name);
            const auto& arc = truth.at("arc_deg");
            CHECK(std::abs(wrapped_deg(circle.from_deg - arc[0].get<double>())) < heel_deg);
            CHECK(std::abs(wrapped_deg(circle.to_deg - arc[1].get<double>())) < heel_deg);
            const auto& highest = truth.at("labels").at("base_circle.eccentricity_deg");
            if (highest.is_null()) continue;
            // On an arc of 190 to 200 degrees the part along its middle is twice as uncertain as the part
            // across (variances of a sinusoid on an arc, tests/outside/circle_fit_test.cpp): u95 of the amplitude
            // may be that of the better one.
            const double reach = 2.0 * farthest * circle.eccentricity_mm.u95 / circle.eccentricity_mm.value;
            const double off_deg = wrapped_deg(circle.eccentricity_deg - highest.get<double>());
            CAPTURE(circle.eccentricity_deg, reach);
            CHECK(std::abs(rad_from_deg(off_deg)) < reach);
        }
    }
}
