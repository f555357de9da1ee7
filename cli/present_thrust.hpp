// present_thrust.hpp: the lobes' pushes on the cam as a table, as a picture through one turn, and as JSON.
#pragma once

#include <string>

#include "analysis/contact/thrust_map.hpp"

namespace lobewright {

std::string present_thrust(const ThrustMap& map);

/// One JSON object (docs/stripe.md).
std::string present_thrust_json(const ThrustMap& map);

}  // namespace lobewright
