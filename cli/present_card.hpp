// present_card.hpp: a cam's card on an 80-column screen, grouped by kind of lobe; `+/-` is u95.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "analysis/card/card.hpp"

namespace lobewright {

/// The whole cam.
std::string present_card(const Card& card, Units units);

/// Every figure of the lobes of these indices, with u95.
std::string present_card_lobes(const Card& card, const std::vector<std::size_t>& lobes, Units units);

}  // namespace lobewright
