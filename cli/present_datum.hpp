// present_datum.hpp: the findings of a front-to-rear zero, as a screen and as one JSON object.
#pragma once

#include <string>

#include "analysis/datum/datum_report.hpp"

namespace lobewright {

/// In the run's units, for the lines at the end are meant for its run.toml.
std::string present_datum(const DatumReport& report);

/// "lobewright-datum/1".
std::string present_datum_json(const DatumReport& report);

}  // namespace lobewright
