// repeat_check.hpp: how far turns the same way differ from each other, as they come, place by place.
#pragma once

#include <optional>

#include "rig/check/turn_pass.hpp"

namespace lobewright {

struct RepeatCheck {
    std::size_t passes = 0;  // that have another one the same way
    std::optional<double>
        deviation_mm;  // standard deviation of a place's mean reading, the passes' own offsets taken off
    std::optional<double> offset_mm;   // largest difference of two passes' means over the heel
    std::optional<double> largest_mm;  // largest difference of two passes at one place, offsets taken off
    double largest_at_deg = 0.0;
};

RepeatCheck check_repeat(const TurnPasses& passes);

}  // namespace lobewright
