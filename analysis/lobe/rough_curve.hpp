// rough_curve.hpp: a first curve through a lobe's rows, good enough for slopes and residuals: what each row's weight and
// the search for the heel start from.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

#include "analysis/constants.hpp"
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

/// The rows `from` up to `to` of one visit to a knot interval, which begins `start` intervals from angle 0, turns counted:
/// row i lies at the fraction  angle_i knots / 2 pi - start  of it.
struct KnotVisit {
    std::size_t interval = 0;
    std::size_t from = 0;
    std::size_t to = 0;
    double start = 0.0;
};

/// Walks over a sweep's samples, gathering each visit to a knot interval; of its rows every `stride`th counts.
template <typename Visit>
void by_interval(const Samples& s, std::size_t knots, std::size_t stride, const Visit& visit) {
    const double per_rad = static_cast<double>(knots) / two_pi;
    for (std::size_t i = 0; i < s.size();) {
        const double start = std::floor(s.angle_rad[i] * per_rad);
        std::size_t j = i + stride;
        for (; j < s.size(); j += stride) {
            const double at = s.angle_rad[j] * per_rad;
            if (at < start || at >= start + 1.0) break;
        }
        visit(KnotVisit{spline_place(s.angle_rad[i], knots).interval, i, std::min(j, s.size()), start});
        i = j;
    }
}

}  // namespace lobewright
