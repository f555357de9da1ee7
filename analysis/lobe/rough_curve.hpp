// rough_curve.hpp: a first curve through a lobe's rows, good enough for slopes and residuals: what each row's weight and
// the search for the heel start from.
#pragma once

#include <algorithm>
#include <cstddef>
#include <vector>

#include "analysis/curve/periodic_spline.hpp"
#include "analysis/sweep/clean_sweep.hpp"

namespace lobewright {

/// Front and rear on the same knots, and the slope of their mean at the knots, mm per rad.
struct RoughCurve {
    PeriodicSpline front;
    PeriodicSpline rear;
    std::vector<double> slope;
};

/// Rows of all sweeps, a rest counted once.
double places_per_turn(const std::vector<CleanSweep>& sweeps);

/// Knots that so many places a turn carry: two a place, within 72 and the grid's own.
std::size_t knots_for(double places);

/// Standard deviation of one reading, mm, from the differences between neighbouring rows.
double rough_sigma(const std::vector<CleanSweep>& sweeps);

/// Smoothing at the scale of two knots, which follows any lobe.
double rough_lambda(const SplineSystem& system);

/// The smoothing of a sparse table: rows lie too far apart to be smoothed, the curve goes through them.
double table_lambda(const SplineSystem& system);

/// Fits all rows alike. `table`: hand-taken, rows degrees apart.
RoughCurve fit_rough_curve(const std::vector<CleanSweep>& sweeps, std::size_t knots, bool table);

/// Walks over a sweep's samples, gathering each visit to a knot interval; `visit(interval, from, to)` gets the range of
/// rows, of which every `stride`th counts.
template <typename Visit>
void by_interval(const Samples& s, std::size_t knots, std::size_t stride, const Visit& visit) {
    for (std::size_t i = 0; i < s.size();) {
        const std::size_t interval = spline_place(s.angle_rad[i], knots).interval;
        std::size_t j = i + stride;
        while (j < s.size() && spline_place(s.angle_rad[j], knots).interval == interval) j += stride;
        visit(interval, i, std::min(j, s.size()));
        i = j;
    }
}

}  // namespace lobewright
