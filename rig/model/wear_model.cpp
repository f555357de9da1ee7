#include "rig/model/wear_model.hpp"

#include <algorithm>
#include <cmath>

#include "analysis/units.hpp"
#include "rig/model/motion_program.hpp"

namespace lobewright {

namespace {

/// Depths at the edges when the high side loses the whole taper besides.
Wear with_taper(WearShape shape, double depth_mm, double taper_mm, double reach_deg) {
    return {shape, depth_mm + std::max(0.0, -taper_mm), depth_mm + std::max(0.0, taper_mm), reach_deg};
}

Support nose_cap(double from_nose_rad, double half_width_rad) {
    const double x = from_nose_rad / half_width_rad;
    const double q = 1.0 - x * x;
    if (q <= 0.0) return {};
    return {q * q * q * q, -8.0 * x * q * q * q / half_width_rad,
            8.0 * q * q * (6.0 * x * x - q) / (half_width_rad * half_width_rad)};
}

Support event_shape(const EventAngle& angle, double fade_rad) {
    const bool opening = angle.into_opening < angle.into_closing;
    const Motion step = smooth_step((opening ? angle.into_opening : angle.into_closing) / fade_rad);
    return {step.s, step.v / (opening ? fade_rad : -fade_rad), step.a / (fade_rad * fade_rad)};
}

}  // namespace

Wear nose_wear(double depth_mm, double taper_mm, double half_width_deg) {
    return with_taper(WearShape::nose_cap, depth_mm, taper_mm, half_width_deg);
}

Wear wiped_wear(double lift_loss_mm) {
    return {WearShape::with_lift, lift_loss_mm, lift_loss_mm, 0.0};
}

Wear taper_lost_wear(double depth_mm, double taper_mm, double fade_deg) {
    return with_taper(WearShape::event, depth_mm, taper_mm, fade_deg);
}

Wear even_wear(double depth_mm, double fade_deg) {
    return {WearShape::event, depth_mm, depth_mm, fade_deg};
}

Support wear_shape(const Wear& wear, const EventAngle& angle, const Support& lift_share) {
    switch (wear.shape) {
        case WearShape::nose_cap:
            return nose_cap(angle.from_nose - rad_from_deg(wear.at_deg), rad_from_deg(wear.reach_deg));
        case WearShape::with_lift:
            return lift_share;
        case WearShape::event:
            return event_shape(angle, rad_from_deg(wear.reach_deg));
    }
    return {};
}

}  // namespace lobewright
