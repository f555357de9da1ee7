// ramp.hpp: the slow stretch between the heel and a flank that takes up clearance gently.
//
// A ramp is a stretch of nearly even velocity. On each side, where the follower moves slower than a fifth of the side's
// greatest velocity, the 4 cam degrees are looked for over which the velocity changes least; they are a ramp's when it
// changes there by less than 35 % of itself, u95 included. Without a ramp every customary rise changes by more: one of even
// acceleration by 4/(0.1 beta), 42 % where it takes beta = 95 degrees, the longest that were tried; harmonic, cycloidal
// and polynomial rises by half as much again and more. (Own definition.)
//   velocity  the mean over those 4 degrees, V
//   height    the lift where the velocity last passes 1.1 V on its way up: there the flank's acceleration has set in
//   length    from where the velocity passes V/2 to there: with a pick-up that is even about its middle, height over V
// Velocities are lift differences over 2 cam degrees. What the definition can't tell: a ramp shorter than some
// 6 degrees, one of even acceleration (its velocity nowhere stays), and one that noise hides: unknown then.
// The height is that of a design drawing plus what the flank has risen till its velocity tells: about a degree's worth.
#pragma once

#include "analysis/lobe/lobe_view.hpp"
#include "analysis/measured.hpp"

namespace lobewright {

struct RampFigures {
    Measured height_mm;
    Measured length_crank_deg;
    Measured velocity_mm_per_deg;  // mm per cam degree
};

enum class LobeSide { opening, closing };

/// The ramp of one side at mid-width; all unknown where none can be told.
RampFigures ramp_figures(const LobeView& view, LobeSide side);

}  // namespace lobewright
