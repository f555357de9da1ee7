// version.hpp: what `lobewright --version` tells.
#pragma once

#include <string>

namespace lobewright {

/// The version, and below it what the program was built by and with. Ends with a newline.
std::string version_text();

}  // namespace lobewright
