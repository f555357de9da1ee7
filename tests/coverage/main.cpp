// coverage: prints how often the stated 95 % intervals hold, figure by figure, as a Markdown table.
#include <cmath>
#include <cstdlib>
#include <string>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "tests/coverage/card_study.hpp"
#include "tests/coverage/coverage_study.hpp"

int main(int argc, char** argv) {
    lobewright::CoverageOptions options;
    bool card = false;
    for (int i = 1; i < argc; ++i) {
        const std::string word = argv[i];
        if (word == "no-indicator") {
            options.indicator_error = false;
        } else if (word == "three-passes") {
            options.passes = 3;
        } else if (word == "table") {
            options.table = true;
        } else if (word == "round-tip") {
            options.round_tip = true;
        } else if (word == "coarse-step") {
            options.coarse_step = true;
        } else if (word == "card") {
            card = true;
        } else {
            options.cams = std::atoi(argv[i]);
        }
    }
    try {
        const auto study =
            card ? lobewright::study_card_coverage(options) : lobewright::study_coverage(options);
        int count = 0, inside = 0;
        fmt::print(
            "| figure | lobes | inside u95 | rms error | mean u95 | rms error / u95 "
            "|\n|---|---|---|---|---|---|\n");
        for (const auto& [key, c] : study) {
            if (c.count == 0) continue;
            fmt::print("| {} | {} | {:.1f} % | {:.3g} | {:.3g} | {:.2f} |\n", key, c.count,
                       100.0 * c.inside / c.count, std::sqrt(c.error_squares / c.count), c.u95_sum / c.count,
                       std::sqrt(c.z_squares / c.count));
            count += c.count;
            inside += c.inside;
        }
        fmt::print("\nall figures: {} of {} inside, {:.2f} %\n", inside, count, 100.0 * inside / count);
    } catch (const lobewright::Error& error) {
        fmt::print(stderr, "{}\n", error.what());
        return static_cast<int>(error.exit());
    }
    return 0;
}
