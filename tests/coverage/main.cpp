// coverage: how often the stated 95 % intervals hold, figure by figure, as Markdown.
//   lobewright_coverage 200 no-indicator   one scene (see coverage_scenes.cpp), 200 cam pairs of three lobes
//   lobewright_coverage 200 card           the card's figures in the scenes without V-blocks: the table of docs/card.md
//   lobewright_coverage 300 verdicts       docs/verdicts-tried.md: verdicts on worn cams whose truth is known
//   lobewright_coverage 200 limits         how near the noise comes to the least possible, 400 pairs of runs
//   lobewright_coverage 200 docs           docs/coverage.md: all scenes, and how near the noise comes to the least possible
#include <cmath>
#include <cstdlib>
#include <map>
#include <string>
#include <vector>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "tests/coverage/card_study.hpp"
#include "tests/coverage/coverage_scenes.hpp"
#include "tests/coverage/coverage_study.hpp"
#include "tests/coverage/least_noise_study.hpp"
#include "tests/coverage/verdict_pages.hpp"

using namespace lobewright;

namespace {

using Study = std::map<std::string, FigureCoverage>;

double share_inside(const FigureCoverage& c) {
    return 100.0 * c.inside / c.count;
}

void print_scene(const Study& study) {
    FigureCoverage all;
    fmt::print(
        "| figure | lobes | inside u95 | rms error | mean u95 | rms error / u95 "
        "|\n|---|---|---|---|---|---|\n");
    for (const auto& [key, c] : study) {
        if (c.count == 0) continue;
        fmt::print("| {} | {} | {:.1f} % | {:.3g} | {:.3g} | {:.2f} |\n", key, c.count, share_inside(c),
                   std::sqrt(c.error_squares / c.count), c.u95_sum / c.count,
                   std::sqrt(c.z_squares / c.count));
        all.count += c.count;
        all.inside += c.inside;
    }
    fmt::print("\nall figures: {} of {} inside, {:.2f} %\n", all.inside, all.count, share_inside(all));
}

struct Held {
    int count = 0;
    int inside = 0;
    void add(const FigureCoverage& c) {
        count += c.count;
        inside += c.inside;
    }
    [[nodiscard]] std::string percent() const {
        return count > 0 ? fmt::format("{:.1f} %", 100.0 * inside / count) : "";
    }
};

/// One figure's cells, scene by scene, and over all scenes.
struct Row {
    std::vector<std::string> cells;
    Held all;
};

void add_scene(std::map<std::string, Row>& rows, std::size_t scene, const Study& study) {
    for (const auto& [key, c] : study) {
        Row& row = rows[key];
        row.cells.resize(2 * scene);
        row.cells.push_back(c.count > 0 ? fmt::format("{:.1f} %", share_inside(c)) : "");
        row.cells.push_back(c.count > 0 ? fmt::format("{:.3g}", c.u95_sum / c.count) : "");
        row.all.add(c);
    }
}

/// A row a figure, two columns a scene: how often u95 held, and its mean; in the last column how often over all scenes.
void print_scenes(const std::vector<CoverageScene>& scenes, Study (*study_of)(const CoverageOptions&),
                  int cams) {
    std::map<std::string, Row> rows;
    std::string head = "| figure |", rule = "| --- |", totals = "| **all figures** |";
    Held whole;
    for (std::size_t i = 0; i < scenes.size(); ++i) {
        fmt::print("- **{}**: {}\n", scenes[i].name, scenes[i].says);
        fmt::print(stderr, "{}\n", scenes[i].name);
        head += fmt::format(" {} | u95 |", scenes[i].name);
        rule += " --- | --- |";
        CoverageOptions options = scenes[i].options;
        options.cams = cams;
        const Study study = study_of(options);
        add_scene(rows, i, study);
        Held all;
        for (const auto& [key, c] : study) all.add(c), whole.add(c);
        totals += fmt::format(" **{}** | |", all.percent());
    }
    fmt::print("\n{} all scenes |\n{} --- |\n", head, rule);
    for (auto& [key, row] : rows) {
        row.cells.resize(2 * scenes.size());
        fmt::print("| {} |", key);
        for (const std::string& cell : row.cells) fmt::print(" {} |", cell);
        fmt::print(" {} |\n", row.all.percent());
    }
    fmt::print("{} **{}** |\n", totals, whole.percent());
}

/// The card's study knows no V-blocks.
std::vector<CoverageScene> card_scenes() {
    std::vector<CoverageScene> scenes = coverage_scenes();
    std::erase_if(scenes, [](const CoverageScene& s) { return s.options.journals != Journals::none; });
    return scenes;
}

void print_least_noise(int runs) {
    fmt::print(
        "\n| figure | rows every 0.5 deg: rms error | over the limit | rows every 0.1 deg: rms error | over "
        "the limit |\n"
        "| --- | --- | --- | --- | --- |\n");
    const auto coarse = least_noise_study(0.5, runs), fine = least_noise_study(0.1, runs);
    for (std::size_t i = 0; i < coarse.size(); ++i) {
        fmt::print("| {} | {:.3g} | {:.2f} | {:.3g} | {:.2f} |\n", coarse[i].figure, coarse[i].spread.rms(),
                   coarse[i].ratio(), fine[i].spread.rms(), fine[i].ratio());
    }
}

void print_docs(int cams) {
    fmt::print(
        "# How often the intervals hold\n\nMade by `lobewright_coverage {} docs`; what it says is in "
        "[measuring.md](measuring.md#11-how-the-statistics-are-checked).\n\n"
        "## Against known truth\n\n{} simulated cam pairs of three lobes in each scene; how often the truth "
        "lay within u95 (right is 95 %), and the mean u95 (mm, degrees, or the figure's own unit). A figure "
        "that can't "
        "fall below nothing isn't counted where nothing is true and nothing was found: any interval holds "
        "there.\n\n",
        cams, cams);
    print_scenes(coverage_scenes(), study_coverage, cams);
    fmt::print(
        "\n## Against the least noise possible\n\nWhite noise of 0.001 mm on every reading, {} pairs of "
        "runs; root mean "
        "square error beside the Cramér-Rao limit (where it comes from: "
        "`tests/coverage/least_noise_study.cpp`).\n",
        2 * cams);
    print_least_noise(2 * cams);
}

int study(int argc, char** argv) {
    int cams = 50;
    std::string scene = "plain";
    for (int i = 1; i < argc; ++i) {
        const int number = std::atoi(argv[i]);
        if (number > 0) cams = number;
        if (number <= 0) scene = argv[i];
    }
    if (scene == "docs") {
        print_docs(cams);
        return 0;
    }
    if (scene == "limits") {
        print_least_noise(2 * cams);
        return 0;
    }
    if (scene == "card") {
        print_scenes(card_scenes(), study_card_coverage, cams);
        return 0;
    }
    if (scene == "verdicts") {
        VerdictOptions options;
        options.cams = cams;
        print_verdicts_page(options);
        return 0;
    }
    for (const CoverageScene& known : coverage_scenes()) {
        if (known.name != scene) continue;
        CoverageOptions options = known.options;
        options.cams = cams;
        print_scene(study_coverage(options));
        return 0;
    }
    std::string names;
    for (const CoverageScene& known : coverage_scenes()) names += known.name + ", ";
    throw UsageError(fmt::format("no scene '{}'; there are {}card, verdicts, limits and docs", scene, names));
}

}  // namespace

int main(int argc, char** argv) {
    try {
        return study(argc, argv);
    } catch (const Error& error) {
        fmt::print(stderr, "{}\n", error.what());
        return static_cast<int>(error.exit());
    }
}
