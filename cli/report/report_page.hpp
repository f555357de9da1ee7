// report_page.hpp: the report as one HTML file that needs nothing beside it: no network, no other file.
#pragma once

#include <string>

namespace lobewright {

/// `data` is report_data's JSON; `title` and `plain` are text: the window's title, and what a browser without scripts shows.
std::string report_page(const std::string& data, const std::string& title, const std::string& plain);

}  // namespace lobewright
