// coverage_interval.hpp: what a figure's draws say of its uncertainty, and whether u95 by the budget stands up to them.
//
// Source   JCGM 101:2008 (GUM Supplement 1), from memory: 7.5 and 7.6 (mean and standard deviation of the draws), 7.7
//          (coverage intervals from sorted draws), 7.9.2 (numerical tolerance), 8 (validating the GUM's interval).
// Beside it  The standard asks for a million draws; each of ours is a whole analysis, so that there are hundreds, and
//          the ends of their interval scatter. That scatter is allowed for: an end differs only beyond both.
//
// Figures in their own unit. Nothing here throws.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "analysis/measured.hpp"

namespace lobewright {

struct CoverageInterval {
    double low = 0.0;
    double high = 0.0;

    [[nodiscard]] double half_width() const { return 0.5 * (high - low); }
};

/// The interval of `coverage` (0 to 1) that leaves as many draws below as above. `sorted` rises and isn't empty.
CoverageInterval symmetric_interval(std::span<const double> sorted, double coverage);

/// The shortest interval that holds `coverage` of the draws.
CoverageInterval shortest_interval(std::span<const double> sorted, double coverage);

/// Half of the last of `digits` significant decimal digits of a standard uncertainty; 0 for none.
double numerical_tolerance(double standard_uncertainty, int digits);

/// A figure's draws beside what the budget states.
struct DrawnFigure {
    std::size_t draws = 0;  // those in which the figure was known; without any all else is 0
    double mean = 0.0;
    double sd = 0.0;
    CoverageInterval symmetric;  // 95 %
    CoverageInterval shortest;   // 95 %
    double tolerance = 0.0;      // numerical, at one significant digit
    double allowance = 0.0;      // how far either end may be off by chance, at this number of draws
    double low_off = 0.0;        // distance of the stated interval's ends from those of `symmetric`
    double high_off = 0.0;

    /// Both ends lie within tolerance and allowance.
    [[nodiscard]] bool agrees() const;
};

/// Draws that aren't finite are those in which the figure couldn't be known.
DrawnFigure drawn_figure(const Measured& stated, std::vector<double> draws);

}  // namespace lobewright
