// assets.hpp: the report's page, style and scripts, inside the program.
#pragma once

#include <string_view>

namespace lobewright::assets {

extern const std::string_view page_html;
extern const std::string_view page_css;
extern const std::string_view page_script;     // for a browser
extern const std::string_view figures_script;  // for the engine in figures_svg.cpp

}  // namespace lobewright::assets
