// assets.hpp: the report's and the bench's pages, styles and scripts, inside the program.
#pragma once

#include <string_view>

namespace lobewright::assets {

extern const std::string_view page_html;
extern const std::string_view page_css;
extern const std::string_view page_script;  // for a browser
extern const std::string_view bench_html;
extern const std::string_view bench_css;
extern const std::string_view bench_script;
extern const std::string_view figures_script;  // for the engine in figures_svg.cpp

}  // namespace lobewright::assets
