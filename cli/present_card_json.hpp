// present_card_json.hpp: a cam's card as one JSON object (docs/card.md).
#pragma once

#include <string>

#include "analysis/card/card.hpp"

namespace lobewright {

/// Format "lobewright-card/1". Complete and pure: numbers round-trip, what can't be known is null, lengths are in
/// `units`. Ends with a newline.
std::string present_card_json(const Card& card, Units units);

}  // namespace lobewright
