// rig_figures.hpp: what a rig shows of itself when the cam is turned both ways, a few turns at two speeds, and left alone
// for a moment (docs/rig-check.md).
//
// Both ways: a tip that lags by tau reads f(angle - omega tau) one way and f(angle + omega tau) the other; with a backlash
// b between encoder and cam and a hysteresis h of the indicator the two curves part by h - (b + 2 omega tau) f'. h and the
// bracket are fitted by least squares over the turn; the brackets of two speeds part b from tau.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "rig/acquisition/rig_event.hpp"

namespace lobewright {

struct IndicatorFigures {
    bool there = false;
    bool stuck = false;                   // never moved while the cam was turned
    std::optional<double> noise_mm;       // standard deviation while the cam stands
    std::optional<double> drift_mm;       // last turn's mean less the first's, same way
    std::optional<double> repeat_mm;      // standard deviation between turns, same way, drift taken off
    std::optional<double> hysteresis_mm;  // one way less the other, beside lag
    std::optional<double> latency_us;     // from two speeds
    std::optional<double> lag_deg;        // b + 2 omega tau, at the slowest pair of turns
    std::optional<double> backlash_deg;   // from two speeds
};

struct RigFigures {
    std::int64_t counts_per_rev = 0;
    std::optional<double> step_mm;
    std::vector<std::int64_t>
        index_off;  // per turn between marks passed the same way: counts less counts_per_rev
    std::optional<std::int64_t> index_width;  // between marks passed the two ways, modulo a turn
    IndicatorFigures front, rear;
    double turns = 0.0;
    std::uint64_t lines_lost = 0;
    std::uint64_t lines_damaged = 0;
    std::uint64_t faults = 0;  // of range, encoder, overrun, port
    std::uint64_t interruptions = 0;
};

/// None for `counts_per_rev` of 0 in all RigBack events: there was no rig.
RigFigures rig_figures(std::span<const RigEvent> events);

}  // namespace lobewright
