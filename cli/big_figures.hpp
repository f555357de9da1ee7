// big_figures.hpp: figures five lines high that can be read from two metres, drawn from blocks or from plain ASCII.
#pragma once

#include <array>
#include <string>
#include <string_view>

namespace lobewright {

inline constexpr std::size_t big_lines = 5;

/// The text's five lines, equally wide. Known are digits, point, minus, plus, blank and '?'; other characters are blank.
/// Each dot of a figure is two columns wide (`wide`) or one. `blocks`: drawn with U+2588, otherwise with '#'.
std::array<std::string, big_lines> big_figures(std::string_view text, bool wide, bool blocks);

/// Columns that it takes.
std::size_t big_width(std::string_view text, bool wide);

}  // namespace lobewright
