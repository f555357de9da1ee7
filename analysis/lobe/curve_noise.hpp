// curve_noise.hpp: what a lobe's readings scatter and wander by, from its own rows: enough to give the variance of
// anything linear in its curves.
#pragma once

#include <array>
#include <vector>

#include "analysis/lobe/slow_walk.hpp"
#include "analysis/lobe/weighted_rows.hpp"

namespace lobewright {

/// Noise of the fitted curves.
struct CurveNoise {
    double sigma_front_mm = 0.0;  // of one reading, from the heel
    double sigma_rear_mm = 0.0;
    double factor_front = 1.0;  // variance over what the weights promised; holds autocorrelation, too
    double factor_rear = 1.0;
    double factor_angle = 1.0;
    // Slow wander, by enum Wander: what the rows say of it, and its strength, in the end from all lobes of the run.
    WalkOnCurve walk;
    WalkEvidence walk_seen;
    double usual_walk_mm = 0.0;  // what a rig is taken to walk in a turn where nothing speaks
    std::array<WalkStrength, 2> walk_strength;
    double apart_level_mm = 0.0;  // of half of rear less front, from a steady drift apart
    double degrees_of_freedom = 0.0;
    std::vector<double> angle_share;  // per knot: the part of a place's variance that is encoder rounding
};

/// Fills what the rows tell beside the sigmas and their degrees of freedom, which `noise` brings along. `slope` is of the
/// rough curve, `how` what the rows were weighed by. In a table nothing was swept twice: no correlation, no wander.
void describe_noise(CurveNoise& noise, const std::vector<CleanSweep>& sweeps, const WeightedRows& rows,
                    const RowWeighing& how, const std::vector<double>& slope,
                    const std::vector<PassOffset>& offsets, bool table);

/// The strengths of slow wander from what all these curves of one run say together.
void settle_walk(const std::vector<CurveNoise*>& noise);

/// Standard uncertainty of the rear-minus-front level from pass to pass, mm; 0 for one pass.
double level_scatter_mm(const std::vector<PassOffset>& offsets);

/// What may hide between the rows of a sparse table, mm: every second row left out and predicted from the rest. That is
/// what a cubic can't know at twice the spacing; at the spacing itself it is a sixteenth of that (fourth order), taken as
/// the error's size anywhere on the event.
double interpolation_error_mm(const std::vector<CleanSweep>& sweeps, const PeriodicSpline& fine,
                              const GridArc& heel);

}  // namespace lobewright
