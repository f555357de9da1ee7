// turn_pass.hpp: one whole turn in one way, gathered into equal bins of angle, so that turns can be held against each other
// place by place. Bins count from count 0, so the same bin of two turns is the same place of the cam.
#pragma once

#include <cstdint>
#include <vector>

#include "rig/check/check_record.hpp"

namespace lobewright {

struct TurnBin {
    double mm = 0.0;         // mean reading, at the bin's middle
    double s = 0.0;          // mean time, from the middle of the pass
    double rad_per_s = 0.0;  // how fast the cam turned, always positive
    std::size_t readings = 0;
};

struct TurnPass {
    int way = 1;
    std::int64_t middle_us = 0;
    std::vector<TurnBin> bins;
};

/// Every pass of one indicator in one stretch of record, all with as many bins. `slope` and `level` are the mean curve
/// over all passes: d(mm)/d(rad) and mm.
struct TurnPasses {
    std::vector<TurnPass> passes;
    std::vector<double> level;
    std::vector<double> slope;
    double steepest = 0.0;  // largest slope in size
    [[nodiscard]] std::size_t bins() const { return level.size(); }
    [[nodiscard]] double bin_rad() const;
};

/// Whole turns only; a turn with an empty bin doesn't count. Bins are a degree wide, or wider until readings are dense
/// enough to fill them. Each reading is moved to its bin's middle along the
/// mean curve.
TurnPasses turn_passes(const CheckStretch& stretch, Indicator which, std::int64_t counts_per_rev);

/// The mean curve `rad` past a bin's middle, not more than a bin away: the cubic through levels and slopes (Hermite).
double curve_at(const TurnPasses& passes, std::size_t bin, double rad);

/// Sets level, slope and steepest from the passes, of which there must be one at least.
void find_curve(TurnPasses& passes);

/// Where the cam lifts so little (a twentieth of its steepest) that time and speed don't matter: the heel.
bool on_heel(const TurnPasses& passes, std::size_t bin);

}  // namespace lobewright
