// both_ways.hpp: what makes a curve swept forward differ from one swept backward. Model, per place of the cam: reading =
// curve + offset of the pass + drift * time within it + slope * way * (play/2 - speed * lag) - way * sign(slope) * hysteresis/2. `play` is the angle
// that the encoder's coupling loses on turning back (the encoder stands half of it behind the cam), `lag` how much older a reading is than the count beside it,
// `hysteresis` how far the indicator reads apart rising and falling. Play and lag are told apart by speed alone, so sweeps
// at two speeds are wanted. Least squares over the flanks, within each place (the curve drops out), repeated with what was
// found taken off, as the curve isn't straight; u95 by leaving out sectors of ten
// degrees one at a time (the jackknife, from memory: Efron & Tibshirani 1993, chapter 11), because neighbours share the
// cam's own roughness.
#pragma once

#include "analysis/measured.hpp"
#include "rig/check/turn_pass.hpp"

namespace lobewright {

struct BothWaysCheck {
    std::size_t forward = 0;   // passes with rising counts
    std::size_t backward = 0;  // and with falling ones
    double slowest_rad_per_s = 0.0;
    double fastest_rad_per_s = 0.0;  // passes' mean speeds
    Measured hysteresis_mm;
    Measured play_rad;
    Measured lag_us;
};

BothWaysCheck check_both_ways(const TurnPasses& passes);

}  // namespace lobewright
