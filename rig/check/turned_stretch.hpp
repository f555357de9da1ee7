// turned_stretch.hpp: what was turned one way without turning back, and its readings laid over the turn.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "rig/acquisition/rig_event.hpp"

namespace lobewright {

/// Readings while the cam was turned one way. Reversals smaller than a hundredth of a turn are a shaky hand, not a
/// reversal. A rig that came back begins a new stretch.
struct TurnedStretch {
    int direction = 1;  // of the counts
    std::vector<RigReading> readings;
    double turns = 0.0;
    double deg_per_s = 0.0;  // mean speed while it moved, without sign
};

/// Those of at least half a turn, in order.
std::vector<TurnedStretch> turned_stretches(std::span<const RigEvent> events, std::int64_t counts_per_rev);

enum class Side { front, rear };
std::optional<double> reading_of(const RigReading& reading, Side side);

inline constexpr std::size_t turn_bins = 360;

/// Mean reading in each degree of the turn, none where there were none, of the `turn`-th whole turn of a stretch.
using TurnCurve = std::array<std::optional<double>, turn_bins>;

/// One curve for each turn of the stretch, the last perhaps in part.
std::vector<TurnCurve> turn_curves(const TurnedStretch& stretch, std::int64_t counts_per_rev, Side side);

/// All its turns in one.
TurnCurve mean_curve(const std::vector<TurnCurve>& turns);

}  // namespace lobewright
