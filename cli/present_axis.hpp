// present_axis.hpp: what journals and heels say of the cam's axis, as a screen and as one JSON object.
#pragma once

#include <string>

#include "analysis/axis/axis_report.hpp"

namespace lobewright {

std::string present_axis(const AxisReport& report, Units units);

/// "lobewright-axis/1"; figures as {"value", "u95"} or null.
std::string present_axis_json(const AxisReport& report, Units units);

}  // namespace lobewright
