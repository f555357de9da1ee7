// present_json.hpp: a result as the one JSON object of docs/run-folder.md, to the letter and in its key
// order.
#pragma once

#include <string>

#include <nlohmann/json_fwd.hpp>

#include "cli/result.hpp"

namespace lobewright {

/// Complete and pure: numbers round-trip, what can't be known is null, lengths are in `result.units` (areas
/// in length x cam degrees, volumes in length cubed). `curves` adds each lobe's curves. Ends with a newline.
std::string present_json(const Result& result, bool curves);

/// The same as an object, for what holds it inside another.
nlohmann::ordered_json result_json(const Result& result, bool curves);

}  // namespace lobewright
