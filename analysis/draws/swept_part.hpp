// swept_part.hpp: one lobe or journal as a draw starts from it: what its tips read when nothing disturbs them, and the
// size of everything that does, as the fitted curves and the run have it.
//
// Lengths mm, angles rad. Throws as clean_sweep does.
#pragma once

#include <array>
#include <vector>

#include "analysis/curve/periodic_spline.hpp"
#include "analysis/draws/indicator_error.hpp"
#include "analysis/lobe/lobe_curve.hpp"
#include "analysis/run/run.hpp"
#include "analysis/support/journals.hpp"

namespace lobewright {

/// What one tip reads round the turn when nothing disturbs it.
struct TrueReading {
    PeriodicSpline curve;         // empty for a journal
    std::vector<double> on_grid;  // added to it, straight between grid angles; empty for nothing
    double heel_mm = 0.0;         // where errors are counted from
    double noise_mm = 0.0;        // of one reading, before it is rounded to the step

    [[nodiscard]] double at(double angle_rad) const;
};

/// One lobe or journal, and what is unknown about its sweeps.
struct SweptPart {
    std::array<TrueReading, 2> reading;  // front, rear
    std::array<UnknownError, 2> error;
    double degrees_of_freedom = 0.0;  // behind the noise
    double count_rad = 0.0;           // what a count covers; 0 where angles were given
    double wander_mm = 0.0;           // of one sweep of a journal, in slow harmonics
    // Strengths of a walk from the sweep's start, mm^2 a turn, by enum Wander, and their degrees of freedom.
    std::array<WalkStrength, 2> walk{};
    double apart_level_mm = 0.0;        // of one sweep, half of rear less front
    double level_mm = 0.0;              // rear minus front, of one sweep
    double between_rows_mm = 0.0;       // what may hide between the rows of a table
    std::vector<double> axis_doubt_mm;  // by harmonic
    double turned_rad = 0.0;            // this run's angles less those of the draw's axis
    GridArc heel;
    bool grows = false;  // a lobe's lift does
};

SweptPart lobe_part(const Run& run, const LobeCurve& curve);

/// A journal's reading is the mean of both indicators, or of one where one was enough. It travels hundredths of a
/// millimetre, over which an indicator's error doesn't change: it has none here.
SweptPart journal_part(const Run& run, const JournalCurve& journal);

/// A curve on a uniform grid round the turn, straight between its points; 0 for an empty one.
double on_turn(const std::vector<double>& grid, double angle_rad);

}  // namespace lobewright
