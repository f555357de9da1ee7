// lopsided_wear.hpp: wear that isn't the same all along or all round a lobe, out of the shapes of wear_model.hpp.
#pragma once

#include "rig/model/wear_model.hpp"

namespace lobewright {

/// A hollowed flank: `at_deg` from the nose, as deep at both edges.
Wear flank_wear(double depth_mm, double at_deg, double half_width_deg = 30.0);

/// One ramp's taper gone, the other's as new: the high side loses the whole taper about the middle of that ramp.
Wear ramp_taper_lost_wear(double taper_mm, bool opening, double half_width_deg = 34.0);

/// One edge chipped or overrun by a tappet that stands askew: depth at that edge alone, about the nose.
Wear edge_wear(double depth_mm, bool rear, double half_width_deg = 40.0);

}  // namespace lobewright
