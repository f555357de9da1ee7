// turn_clock.hpp: which turn of a sweep a sample belongs to, and how long after the sweep's middle it was taken: the
// measure of drift.
#pragma once

#include <cmath>
#include <cstddef>
#include <numbers>

#include "analysis/sweep/clean_sweep.hpp"

namespace lobewright {

/// Counts from the first sample; the samples must outlive it. A table was taken in no known order: it is one turn and
/// shows no drift.
class TurnClock {
public:
    explicit TurnClock(const CleanSweep& sweep)
        : samples_(sweep.samples), table_(sweep.table), start_(samples_.angle_rad.front()) {
        const double travel = samples_.angle_rad.back() - start_;
        middle_ = start_ + 0.5 * travel;
        const auto& time = samples_.time_s;
        const double span = time.empty() ? 0.0 : time.back() - time.front();
        if (span <= 0.0) return;
        middle_s_ = 0.5 * (time.front() + time.back());
        turns_per_s_ = travel / (2.0 * std::numbers::pi * span);
    }

    /// Ordinal of the turn at an angle, from 0.
    [[nodiscard]] long turn(double theta_rad) const {
        return table_ ? 0 : static_cast<long>(std::abs(theta_rad - start_) / (2.0 * std::numbers::pi));
    }

    /// Mean turns from the sweep's middle to sample i, by the clock where there is one.
    [[nodiscard]] double elapsed_turns(std::size_t i) const {
        if (table_) return 0.0;
        if (turns_per_s_ != 0.0) return (samples_.time_s[i] - middle_s_) * turns_per_s_;
        return (samples_.angle_rad[i] - middle_) / (2.0 * std::numbers::pi);
    }

private:
    const Samples& samples_;
    bool table_;
    double start_;
    double middle_ = 0.0;
    double middle_s_ = 0.0;
    double turns_per_s_ = 0.0;
};

}  // namespace lobewright
