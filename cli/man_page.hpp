// man_page.hpp: one command's help as a manual page, section 1 (man(7) macros).
#pragma once

#include <string>
#include <vector>

#include "cli/command_text.hpp"

namespace lobewright {

/// "lobewright-compare.1", "lobewright.1".
std::string man_page_name(const CommandText& command);

/// The page of one of `all`, as command_texts gives them.
std::string man_page(const CommandText& command, const std::vector<CommandText>& all);

}  // namespace lobewright
