// weighted_rows.hpp: one pass over all rows of a lobe, each with the weight that its noise and the slope under it give
// (lobe_curve.hpp), as residuals about a rough curve: for the fit, for what differs from turn to turn, for the noise.
#pragma once

#include <cstddef>
#include <vector>

#include "analysis/curve/periodic_spline.hpp"
#include "analysis/lobe/grid.hpp"
#include "analysis/lobe/legs.hpp"
#include "analysis/lobe/rough_curve.hpp"
#include "analysis/sweep/clean_sweep.hpp"

namespace lobewright {

/// What the weights are made of.
struct RowWeighing {
    double sigma_mm = 0.0;        // of one reading
    double angle_step_rad = 0.0;  // of one count
    GridArc heel;
    double stray_factor = 0.0;  // rows that stand this many standard deviations off, alone, are left out
};

/// Sums over the heel of the squared residuals of single readings, for sigma.
struct HeelResiduals {
    double front = 0.0;
    double rear = 0.0;
    double places = 0.0;
};

struct WeightedRows {
    SplineSystem system;
    Legs legs;
    HeelResiduals heel;
    std::size_t strays = 0;  // rows left out
};

WeightedRows weigh_rows(const std::vector<CleanSweep>& sweeps, const RoughCurve& rough,
                        const RowWeighing& how);

/// Takes the passes' offsets off. They are micrometres and smooth: taking them off the right-hand sides interval by
/// interval is exact to a thousandth of them.
void take_offsets_off(WeightedRows& rows, const std::vector<PassOffset>& offsets);

/// What the encoder's rounding adds to the variance of a row on this slope (mm per rad).
double encoder_variance(double slope, double angle_step_rad);

/// Which of so many knot intervals lie on the heel.
std::vector<char> knots_on(const GridArc& heel, std::size_t knots);

}  // namespace lobewright
