// seating.hpp: one laying of a true parallel under both tips: what it reads, and whether it lay still while it was read.
//
// Model. A parallel at rest shows its mean and each indicator's flicker; one that still settles, or is touched, shows a mean
// that goes. So the second half's mean less the first half's (the creep) is held against the step of the indicators and three
// of its own standard errors, as the readings' scatter gives them; the range only keeps a knock out. (The scatter alone must
// not decide: an indicator with half a step of noise strays over four steps within twenty readings as often as not.)
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

namespace lobewright {

struct Seating {
    double rear_minus_front_mm = 0.0;  // mean
    double range_mm = 0.0;             // largest less smallest
    double creep_mm = 0.0;             // mean of the second half of the readings less that of the first
    double u_creep_mm = 0.0;           // its standard error
    std::size_t readings = 0;
};

/// Rear less front, in the order they were read. Throws std::domain_error for fewer than four.
Seating seating_of(const std::vector<double>& rear_minus_front_mm);

/// `step_mm`: the indicators' step, where it is known.
bool lay_still(const Seating& seating, std::optional<double> step_mm);

}  // namespace lobewright
