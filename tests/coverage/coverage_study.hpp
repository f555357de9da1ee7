// coverage_study.hpp: how often the stated 95 % intervals hold, on simulated cams with known truth. The truth
// comes from the model's closed forms, never from the analysis: of the whole base circle, but the heel's own figures of the
// very arc that the analysis states them for. Nothing is added to an interval.
#pragma once

#include <cstdint>
#include <map>
#include <string>

#include "analysis/figures.hpp"

namespace lobewright {

/// A lobe's figure by its key in compare's JSON; unknown for a key that isn't a figure.
Measured figure_of(const LobeFigures& figures, const std::string& key);

/// What happened to one figure over many lobes.
struct FigureCoverage {
    int count = 0;
    int inside = 0;
    double z_squares = 0.0;  // of error over u95
    double u95_sum = 0.0;    // mm, deg or the figure's own unit
    double error_squares = 0.0;
};

/// What the cam rests in.
enum class Journals { none, swept, unswept };

struct CoverageOptions {
    int cams = 50;
    std::uint64_t seed = 1;
    bool indicator_error = true;
    int passes = 1;
    bool table = false;                 // hand-taken
    bool round_tip = false;             // roller and point tips
    bool coarse_step = false;           // indicators of 0.01 mm with less noise than step
    double walk_mm_per_root_min = 0.0;  // random walk of each indicator
    Journals journals = Journals::none;
};

/// Figures by their key in compare's JSON.
std::map<std::string, FigureCoverage> study_coverage(const CoverageOptions& options);

}  // namespace lobewright
