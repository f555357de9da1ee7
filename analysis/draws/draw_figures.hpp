// draw_figures.hpp: u95 by another route than the budget's: the whole measurement is repeated on paper, hundreds of
// times, each time with every input drawn afresh (drawn_run.hpp), and analysed from the rows on. What the figures then
// scatter by needs no linearisation and no Student's factor (JCGM 101:2008, from memory; docs/measuring.md section 5).
// Only what the heel's form does to a figure is taken from the budget as it stands, and so isn't checked.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "analysis/compare.hpp"
#include "analysis/draws/coverage_interval.hpp"
#include "analysis/figures.hpp"

namespace lobewright {

/// Throws UsageError for fewer draws than 100, which leave the ends of a 95 % interval to two or three of them, and for
/// more than 100 000, which take hours and say no more.
void check_draw_count(std::int64_t draws);

struct DrawOptions {
    std::size_t draws = 400;
    std::uint64_t seed = 1;
    AnalysisOptions analysis = {};  // as the stated figures were made with; its threads share the draws
    // Told how many draws are done, from any thread.
    std::function<void(std::size_t)> done = {};
};

struct DrawnLobe {
    std::string name;
    std::vector<DrawnFigure> figures;  // in the order of stated_figures

    /// Nothing where the figure has no such key.
    [[nodiscard]] const DrawnFigure* find(std::string_view key) const;
};

struct DrawnCam {
    std::size_t draws = 0;
    std::uint64_t seed = 0;
    std::vector<DrawnLobe> lobes;  // as in the figures
};

/// Draws both runs and compares, or draws the one run and inspects where `reference` is null, and holds the draws
/// against `stated`, the figures that compare_runs or inspect_run gave for the very same runs. The same seed gives the
/// same draws, on however many threads. A figure that a draw couldn't know is missing from its draws. Throws UsageError
/// as check_draw_count, DataError as compare_runs does.
DrawnCam draw_figures(const Run* reference, const Run& used, const CamFigures& stated,
                      const DrawOptions& options = {});

}  // namespace lobewright
