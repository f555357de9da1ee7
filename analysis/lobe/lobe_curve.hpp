// lobe_curve.hpp: the two readings of one lobe (front and rear indicator) as curves round the turn, from all
// passes, with what is known of their noise (docs/measuring.md sections 1 and 2).
//
// Model    y_c = f_c(theta) + z_pc + a_pc cos + b_pc sin + d_pc t + noise for pass p and edge c; the passes'
// offsets
//          sum to nothing, drift d shows where a turn was swept twice.
// Noise    of a place with n readings on a slope s:  sigma^2/n + (s q)^2/12, q the angle of one count: the
// encoder's
//          rounding stands in all readings of a cam at rest alike, and in front and rear alike.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "analysis/curve/periodic_spline.hpp"
#include "analysis/lobe/curve_noise.hpp"
#include "analysis/lobe/grid.hpp"
#include "analysis/lobe/heel.hpp"
#include "analysis/run/run.hpp"
#include "analysis/sweep/clean_sweep.hpp"

namespace lobewright {

/// What the lobe was read with and what its lift is stated for. No radius means flat.
struct TipToFollower {
    std::optional<double> tip_radius_mm;
    std::optional<double> follower_radius_mm;
    double base_radius_mm = 0.0;  // needed where tip and follower differ
    // A tapered lobe's base radius differs from front to rear, and with it where a round tip touches: by as much as the
    // heel's levels say once they are free of the front-to-rear zero (unknown without a datum).
    double front_z_mm = 0.0;
    double rear_z_mm = 0.0;
    std::optional<double> rear_minus_front_mm;
    double tip_offset_mm = 0.0;  // of a round tip's line from the cam's axis (tip_line.hpp)

    [[nodiscard]] bool differ() const { return tip_radius_mm != follower_radius_mm || tip_offset_mm != 0.0; }
};

struct LobeCurve {
    std::string name;
    PeriodicSpline front;  // mm, as swept, mean of the passes
    PeriodicSpline rear;
    SplineSystem system;
    SplineSolver solver;
    CurveNoise noise;
    GridArc heel;  // in this run's own angles
    TipToFollower tip;
    // What the cam's axis did under the front and the rear indicator, mm on the grid of this run's angles,
    // taken off before the fit; empty where it isn't known.
    std::vector<double> front_motion, rear_motion;
    std::vector<std::string> notes;
    // What isn't known of how the rig moved the cam: standard deviation, mm, of each harmonic's cosine and sine part in
    // the axis' rise (index: undulations a turn; empty: none), and the encoder's error limit.
    std::vector<double> axis_doubt_mm;
    double encoder_limit_rad = 0.0;
    bool table = false;
    double angle_step_rad = 0.0;
    int passes = 1;
    double level_scatter_mm =
        0.0;  // standard uncertainty of rear-minus-front level from pass to pass; 0 for one pass
    double interpolation_mm = 0.0;  // what may hide between the rows of a sparse table; 0 for a dense sweep
};

/// Fits one lobe from its cleaned sweeps (at least one). Throws DataError naming the lobe when the turn isn't
/// covered or no heel can be found.
LobeCurve fit_lobe_curve(const std::string& name, std::vector<CleanSweep> sweeps, const RigInfo& rig);

/// The same readings with what the smoothing took given back once (SplineSolver), for derivatives: of a second one the
/// smoothing takes as much as noise adds.
LobeCurve smoothing_given_back(const LobeCurve& curve);

}  // namespace lobewright
