// present_history.hpp: wear against hours as tables and as JSON.
#pragma once

#include <string>

#include "analysis/history/history.hpp"

namespace lobewright {

std::string present_history(const History& history);

/// One JSON object (docs/history.md).
std::string present_history_json(const History& history);

}  // namespace lobewright
