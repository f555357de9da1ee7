// noise_check.hpp: what an indicator shows while nothing moves it. A rig that sends readings while the cam stands is
// judged at rest: scatter about a straight line through each rest. One that latches by count sends none at rest; there
// the second differences of readings in equal steps over the heel serve, where the curve itself has none to speak of:
// the variance is their mean square over 6. Both from memory, as any text on the statistics of measurement has them; second
// differences of n independent readings are worth 18/35 n degrees of freedom (their correlations are -2/3 and 1/6).
#pragma once

#include <cstdint>
#include <optional>

#include "analysis/measured.hpp"
#include "rig/check/turn_pass.hpp"

namespace lobewright {

enum class NoiseFrom { nothing, rest, heel };

struct NoiseCheck {
    NoiseFrom from = NoiseFrom::nothing;
    std::uint64_t readings = 0;
    Measured deviation_mm;          // standard deviation of one reading
    Measured drift_mm_per_min;      // of a rest, or of the heel between turns the same way: the better known
    std::optional<double> step_mm;  // smallest difference between readings that was seen
};

/// `passes` of the longest stretch of the record, for the same indicator.
NoiseCheck check_noise(const CheckRecord& record, const TurnPasses& passes, Indicator which,
                       std::int64_t counts_per_rev);

/// One indicator that stood still to the last digit while the other one moved.
struct StuckCheck {
    bool judged = false;        // the other one moved far enough to tell
    double other_moved_mm = 0;  // while this one stood, at the most
    double at_deg = 0.0;        // where that began, from count 0
    bool stuck = false;
};

/// A stand of 0.05 mm is beyond any taper between the tips of one lobe; half of it would call a sluggish spindle
/// stuck, twice as much would miss one that sticks on the ramp only.
StuckCheck check_stuck(const CheckRecord& record, Indicator which, std::int64_t counts_per_rev);

}  // namespace lobewright
