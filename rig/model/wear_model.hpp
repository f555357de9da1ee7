// wear_model.hpp: how a lobe wears, as closed forms: a shape round the lobe times a depth at each edge.
#pragma once

#include "rig/model/support.hpp"

namespace lobewright {

/// Where round the lobe metal goes.
enum class WearShape {
    nose_cap,   // (1 - x^2)^4 about the nose, or another place: flattens it, ends smoothly on the flanks
    with_lift,  // in proportion to the lift: the lobe is wiped, yet stays convex whatever the depth
    event,      // evenly over the whole lift event, fading in over its first and last degrees
};

/// One way of wear. Depths are at the lobe's edges, at the shape's deepest; linear in between.
struct Wear {
    WearShape shape = WearShape::nose_cap;
    double front_mm = 0.0;
    double rear_mm = 0.0;
    double reach_deg = 30.0;  // nose_cap: half the cap's width; event: over how many degrees it fades in
    double at_deg = 0.0;      // nose_cap: its middle, counted from the nose, positive on the closing side
};

/// The nose worn flat: the high side, towards which `taper_mm` rises, loses as much more as the taper was.
Wear nose_wear(double depth_mm, double taper_mm, double half_width_deg = 30.0);

/// A lobe wiped down by `lift_loss_mm`, the same at both edges.
Wear wiped_wear(double lift_loss_mm);

/// Taper gone all round the event: the high side loses as much more as the taper was; the heel keeps it.
Wear taper_lost_wear(double depth_mm, double taper_mm, double fade_deg = 14.0);

/// Small even wear over the event.
Wear even_wear(double depth_mm, double fade_deg = 14.0);

/// The angle of a lobe as wear sees it, radians.
struct EventAngle {
    double from_nose = 0.0;     // positive on the closing side
    double into_opening = 0.0;  // from where the event opens; negative on the heel
    double into_closing = 0.0;  // back from where it closes; negative on the heel
};

/// The shape at an angle, 0 to 1, with derivatives by the angle.
/// `lift_share` is lift over largest lift there.
Support wear_shape(const Wear& wear, const EventAngle& angle, const Support& lift_share);

}  // namespace lobewright
