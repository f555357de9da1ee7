// present_rig_check.hpp: what proving a rig found, as a screen and as JSON.
#pragma once

#include <string>
#include <vector>

#include "analysis/units.hpp"
#include "rig/check/rig_check.hpp"

namespace lobewright {

std::string present_rig_check(const RigCheck& check, const std::vector<std::string>& notes, Units units);

/// `{"format": "lobewright-rig-check/1", ...}`: every row, and the keys for a run's [rig].
std::string present_rig_check_json(const RigCheck& check, const std::vector<std::string>& notes, Units units);

}  // namespace lobewright
