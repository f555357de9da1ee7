// present_rig_check.hpp: what a rig has shown of itself, on an 80-column screen and as JSON.
#pragma once

#include <string>
#include <vector>

#include "analysis/errors.hpp"
#include "rig/check/check_rows.hpp"

namespace lobewright {

std::string present_rig_check(const RigFigures& figures, const std::vector<CheckRow>& rows, bool colour);
std::string present_rig_check_json(const RigFigures& figures, const std::vector<CheckRow>& rows);

/// fit: all pass; unfit: something needs a look; undecided: something couldn't be told.
Exit exit_of(const std::vector<CheckRow>& rows);

}  // namespace lobewright
