// clean_sweep.hpp: from the rows of a sweep to samples that a curve may be fitted to (docs/measuring.md section 1).
// Turns counts into angles, keeps the last forward pass over every angle, takes isolated spikes out, joins
// readings taken at one and the same count, and keeps a record of all it left out. It knows no splines.
#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <vector>

#include "analysis/run/run.hpp"

namespace lobewright {

/// Samples in the order in which the cam passed them. Columns of equal length; time_s is empty when the sweep
/// has no clock. Angles in rad in the running direction, not wrapped.
struct Samples {
    std::vector<double> angle_rad;
    std::vector<double> front_mm;
    std::vector<double> rear_mm;
    std::vector<double>
        readings;  // how many readings stand behind the row: 1, or more where the cam stood still
    std::vector<double> time_s;

    [[nodiscard]] std::size_t size() const { return angle_rad.size(); }
};

/// One spike that was left out: where, which indicator, how far off its neighbours.
struct Spike {
    double angle_deg = 0.0;
    bool front = false;
    double size_mm = 0.0;
};

/// A sweep made ready, and what was found on the way.
struct CleanSweep {
    int pass = 1;
    bool table = false;           // readings in no order of turning, as a hand-taken table has
    bool against = false;         // swept against the running direction
    double angle_step_rad = 0.0;  // what one count covers; 0 where angles were given
    Samples samples;
    Samples backward;  // rows left out because the cam was turning back or was turned over again
    std::vector<Spike> spikes;
    int backward_turns = 0;
    double deepest_backward_deg = 0.0;
    double covered_deg = 0.0;  // travel from the first to the last sample
    double largest_gap_deg = 0.0;
    double gap_from_deg = 0.0;  // where the largest gap begins
};

/// Cleans one sweep. A column that the sweep lacks (a journal read by one indicator) is filled from the other.
/// Throws DataError naming the file when fewer than 12 samples are left.
CleanSweep clean_sweep(const Sweep& sweep, const RigInfo& rig);

/// Takes the cosine error off readings of tips whose line leans along the cam: they travel 1/cos of the lean as far as
/// the cam pushes them (common practice in dial gauging, no source).
void take_lean_off(Samples& samples, double lean_rad);

/// The widest stretch of the turn without a sample in any of the sweeps (to 0.1 degrees).
struct TurnGap {
    double from_deg = 0.0;
    double width_deg = 0.0;
};
TurnGap largest_gap(std::span<const CleanSweep> sweeps);

/// Throws DataError naming `what` (a lobe, a journal) when the sweeps together leave more than 20 degrees open: what lies
/// there can't be guessed from its ends. A hand-taken table every 5 degrees may lack two rows, not more.
void require_whole_turn(const std::string& what, std::span<const CleanSweep> sweeps);

}  // namespace lobewright
