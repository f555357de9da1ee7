// present_ports.hpp: the serial ports of this machine, on an 80-column screen and as JSON.
#pragma once

#include <string>
#include <vector>

#include "rig/transport/port_list.hpp"

namespace lobewright {

/// What to give --port, and what is plugged in there.
std::string present_ports(const std::vector<PortInfo>& ports);

std::string present_ports_json(const std::vector<PortInfo>& ports);

}  // namespace lobewright
