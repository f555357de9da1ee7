// stuck_watch.hpp: an indicator whose reading doesn't move while the other's does: its stem hangs.
#pragma once

#include <optional>

#include "rig/acquisition/turn_track.hpp"

namespace lobewright {

class StuckWatch {
public:
    /// Which indicator was found stuck at this point, and since where; told once until it moves again.
    struct Finding {
        bool front = false;
        double from_deg = 0.0;
    };
    std::optional<Finding> take(const TrackPoint& point);

private:
    struct Still {
        std::optional<TrackPoint> from;  // where the reading became what it is
        double other_least_mm = 0.0;
        double other_most_mm = 0.0;
        bool told = false;
    };
    static bool watch(Still& still, const TrackPoint& point, double value_mm, double was_mm, double other_mm);

    Still front_, rear_;
};

}  // namespace lobewright
