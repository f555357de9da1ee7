// present_tappets.hpp: which tappet goes back where, as a few lines of a screen.
#pragma once

#include <string>
#include <vector>

#include "analysis/judge/tappets.hpp"

namespace lobewright {

/// A line each for those that go back, stay, and must not go back; none where no tappet has a tag.
std::vector<std::string> say_tappets(const std::vector<TappetPlace>& places);

/// A block with its own head, or nothing where no tappet has a tag.
std::string present_tappets(const std::vector<TappetPlace>& places);

}  // namespace lobewright
