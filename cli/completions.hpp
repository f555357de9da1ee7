// completions.hpp: what shells complete a command line with: commands, options, and what stands behind an option.
#pragma once

#include <string>
#include <vector>

#include "cli/command_text.hpp"

namespace lobewright {

std::string bash_completion(const std::vector<CommandText>& commands);
std::string zsh_completion(const std::vector<CommandText>& commands);
std::string fish_completion(const std::vector<CommandText>& commands);

}  // namespace lobewright
