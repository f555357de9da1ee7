// slips.hpp: counts that an encoder lost or gained within a lobe's sweeps (docs/measuring.md section 1: a slip is
// located and named, never smeared).
//
// A run folder holds no index marks; what shows a slip is the lobe itself: every time a flank goes by it must
// lie at the same angle. A flank that lies a whole number of counts off gives the slip's size; where along
// the sweep the offset sets in gives its place. Rows behind it are moved back. What was swept only once can't
// show a slip.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "analysis/curve/periodic_spline.hpp"
#include "analysis/sweep/clean_sweep.hpp"

namespace lobewright {

/// One slip that was found and taken out.
struct FoundSlip {
    std::size_t sweep = 0;
    int counts = 0;         // lost (positive) from `from_deg` on
    double from_deg = 0.0;  // the slip lies between these cam angles of the sweep
    double to_deg = 0.0;
    bool whole_sweep = false;  // the whole sweep lies off the others
};

/// Finds slips against rough curves of front and rear and moves the rows behind them. `slope` is the mean
/// slope in each knot interval (mm per rad). Throws DataError naming `lobe` when a slip is certain but its
/// place isn't: when a flank that went by only once lies where it may have happened.
std::vector<FoundSlip> take_slips_out(const std::string& lobe, std::vector<CleanSweep>& sweeps,
                                      const PeriodicSpline& front, const PeriodicSpline& rear,
                                      std::span<const double> slope);

}  // namespace lobewright
