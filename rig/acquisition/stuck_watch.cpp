#include "rig/acquisition/stuck_watch.hpp"

#include <algorithm>
#include <cmath>

namespace lobewright {

namespace {

/// On a flank of 0.1 mm a degree a free indicator moves half a millimetre over this; shorter, and a coarse step's rest on
/// a ramp would be told; longer, and a whole flank goes by unseen.
constexpr double stuck_travel_deg = 5.0;
/// What the other must have moved meanwhile: more than noise and runout of a heel over so short a way.
constexpr double other_moved_mm = 0.05;

}  // namespace

bool StuckWatch::watch(Still& still, const TrackPoint& point, double value_mm, double was_mm,
                       double other_mm) {
    if (!still.from || value_mm != was_mm || std::isnan(value_mm) || std::isnan(other_mm)) {
        still = {.from = point, .other_least_mm = other_mm, .other_most_mm = other_mm};
        return false;
    }
    still.other_least_mm = std::min(still.other_least_mm, other_mm);
    still.other_most_mm = std::max(still.other_most_mm, other_mm);
    const bool stuck = std::abs(point.deg - still.from->deg) >= stuck_travel_deg &&
                       still.other_most_mm - still.other_least_mm >= other_moved_mm;
    const bool news = stuck && !still.told;
    still.told = still.told || stuck;
    return news;
}

std::optional<StuckWatch::Finding> StuckWatch::take(const TrackPoint& point) {
    const double front_was = front_.from ? front_.from->front_mm : 0.0;
    const double rear_was = rear_.from ? rear_.from->rear_mm : 0.0;
    const bool front = watch(front_, point, point.front_mm, front_was, point.rear_mm);
    const bool rear = watch(rear_, point, point.rear_mm, rear_was, point.front_mm);
    if (front) return Finding{true, front_.from->deg};
    if (rear) return Finding{false, rear_.from->deg};
    return std::nullopt;
}

}  // namespace lobewright
