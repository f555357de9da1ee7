#include "rig/model/lopsided_wear.hpp"

#include <algorithm>

namespace lobewright {

Wear flank_wear(double depth_mm, double at_deg, double half_width_deg) {
    return {WearShape::nose_cap, depth_mm, depth_mm, half_width_deg, at_deg};
}

Wear ramp_taper_lost_wear(double taper_mm, bool opening, double half_width_deg) {
    constexpr double ramp_middle_deg = 45.0;
    return {WearShape::nose_cap, std::max(0.0, -taper_mm), std::max(0.0, taper_mm), half_width_deg,
            opening ? -ramp_middle_deg : ramp_middle_deg};
}

Wear edge_wear(double depth_mm, bool rear, double half_width_deg) {
    return {WearShape::nose_cap, rear ? 0.0 : depth_mm, rear ? depth_mm : 0.0, half_width_deg};
}

}  // namespace lobewright
