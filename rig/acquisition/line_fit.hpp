// line_fit.hpp: whether a controller's line may follow the one before, by its number, its clock and its count. What may not
// came damaged through every check, came twice, or tells of a controller that began anew.
#pragma once

#include <cstdint>
#include <optional>

#include "rig/decode/rig_message.hpp"

namespace lobewright {

/// A difference of wrapping numbers from here on means that the one is behind the other.
inline constexpr std::uint32_t half_of_numbers = 0x80000000U;

/// What every numbered line has; the count where it has one.
struct LineHead {
    std::uint32_t seq = 0;
    std::uint32_t t_us = 0;
    std::optional<std::int32_t> count;
    std::uint32_t count_t_us = 0;  // when that count was: a fault's line has none and keeps the one before
};

/// None of a line without a number.
std::optional<LineHead> line_head(const RigMessage& message);

enum class LineFit {
    follows,
    stale,       // a little behind in number and time: one that came twice
    behind,      // behind, or further on than can be
    count_jumps  // numbered and timed as due, but no hand turns so fast
};

LineFit fit_of(const LineHead& before, const LineHead& head, std::int64_t counts_per_rev);

}  // namespace lobewright
