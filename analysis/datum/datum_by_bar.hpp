// datum_by_bar.hpp: the front-to-rear zero from a true parallel laid under both tips, lifted and laid again a few times.
//
// Model. Each seating gives rear less front, the mean over the readings taken while it lay still. The zero is the mean over
// the seatings; its standard uncertainty holds their scatter, s / sqrt(n), widened by Student's t at 95 % over the normal's
// (few seatings know their own scatter badly), and the rounding of both indicators, step / sqrt(12) each, which is the same
// in every seating (JCGM 100:2008, 4.2, 4.3.7 and G.3, from memory). What the parallel itself is out by isn't in it.
#pragma once

#include <vector>

#include "analysis/datum/datum_estimate.hpp"

namespace lobewright {

/// Rear less front of each seating. Throws std::domain_error for fewer than two, or a step that isn't 0 or more.
DatumEstimate datum_by_bar(const std::vector<double>& rear_minus_front_mm, double step_mm);

}  // namespace lobewright
