// toml_text.hpp: text as a TOML file holds it.
#pragma once

#include <string>
#include <string_view>

namespace lobewright {

/// `text` in double quotes on one line, whatever is in it.
std::string toml_text(std::string_view text);

}  // namespace lobewright
