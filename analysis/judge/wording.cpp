#include "analysis/judge/wording.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace lobewright {
namespace {

std::string_view unit_word(Units units) {
    return units == Units::in ? "in" : "mm";
}

/// Decimals that show `u95` to two significant digits, within what a bench reads.
int decimals_for(double u95, Units units) {
    const int coarsest = units == Units::in ? 4 : 3;
    const int finest = units == Units::in ? 6 : 5;
    if (!std::isfinite(u95)) return coarsest;
    if (u95 <= 0.0) return finest;
    return std::clamp(1 - static_cast<int>(std::floor(std::log10(u95))), coarsest, finest);
}

}  // namespace

std::string fixed(double value, int decimals) {
    std::string text = fmt::format("{:.{}f}", value, decimals);
    const bool only_zeros = text.find_first_not_of("-0.") == std::string::npos;
    if (only_zeros && text.front() == '-') text.erase(0, 1);
    return text;
}

std::string say_figure(const Measured& figure_mm, Units units) {
    if (!figure_mm.known()) return "unknown";
    const double u95 = figure_mm.u95 / mm_per(units);
    const int decimals = decimals_for(u95, units);
    const std::string value = fixed(figure_mm.value / mm_per(units), decimals);
    const std::string spread = std::isfinite(u95) ? fixed(u95, decimals) : "unknown";
    return fmt::format("{} +/- {} {}", value, spread, unit_word(units));
}

std::string say_length(double length_mm, Units units) {
    std::string text = fixed(length_mm / mm_per(units), units == Units::in ? 6 : 5);
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
    return fmt::format("{} {}", text, unit_word(units));
}

std::string say_rounded(double length_mm, Units units) {
    return fmt::format("{} {}", say_cell(length_mm, units), unit_word(units));
}

std::string say_cell(double length_mm, Units units) {
    if (!std::isfinite(length_mm)) return "-";
    return fixed(length_mm / mm_per(units), units == Units::in ? 5 : 3);
}

}  // namespace lobewright
