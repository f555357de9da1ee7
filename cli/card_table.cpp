#include "cli/card_table.hpp"

#include <cmath>

#include <fmt/format.h>

#include "analysis/judge/wording.hpp"
#include "cli/text_table.hpp"

namespace lobewright {

Shown shown_length(Units units) {
    return {mm_per(units), units == Units::in ? 5 : 3};
}
Shown shown_angle() {
    return {1.0, 2};
}
Shown shown_area(Units units) {
    return {mm_per(units), units == Units::in ? 3 : 1};
}
Shown shown_velocity(Units units) {
    return {mm_per(units) * deg_from_rad(1.0), units == Units::in ? 6 : 4};
}

std::string say(double value, const Shown& shown) {
    return std::isfinite(value) ? fixed(value / shown.per, shown.decimals) : "-";
}

std::string say_u95(double value, const Shown& shown) {
    if (!std::isfinite(value)) return "-";
    const double step = std::pow(10.0, -shown.decimals);
    return fixed(std::ceil(value / shown.per / step - 1e-9) * step, shown.decimals);
}

std::string say_lift(double lift_mm, Units units) {
    const std::string text = say_length(lift_mm, units);
    return text.substr(0, text.find(' '));
}

std::string say_timing(double after_tdc_deg) {
    if (!std::isfinite(after_tdc_deg)) return "-";
    const double turned = std::round(after_tdc_deg / 180.0);
    const double off = after_tdc_deg - 180.0 * turned;
    const bool top = std::fmod(std::abs(turned), 2.0) == 0.0;
    return fmt::format("{} {}{}DC", fixed(std::abs(off), 1), off < 0.0 ? "B" : "A", top ? "T" : "B");
}

std::string say_centreline(double after_tdc_deg) {
    if (!std::isfinite(after_tdc_deg)) return "-";
    return fmt::format("{} {}TDC", fixed(std::abs(after_tdc_deg), 1), after_tdc_deg < 0.0 ? "B" : "A");
}

std::string wide_table(const std::vector<CardColumn>& columns) {
    const auto render = [&](std::size_t from, std::size_t to) {
        std::vector<Column> heads{{columns.front().head}};
        for (std::size_t c = from; c < to; ++c) heads.push_back({columns[c].head, true});
        std::vector<std::vector<Cell>> rows;
        for (std::size_t r = 0; r < columns.front().cells.size(); ++r) {
            std::vector<Cell> row{{columns.front().cells[r]}};
            for (std::size_t c = from; c < to; ++c) row.push_back({columns[c].cells[r]});
            rows.push_back(std::move(row));
        }
        return format_table(heads, rows, false);
    };
    const auto fits = [](const std::string& table) {
        std::size_t length = 0;
        for (const char c : table) {
            length = c == '\n' ? 0 : length + 1;
            if (length > screen_width) return false;
        }
        return true;
    };
    std::string out;
    for (std::size_t from = 1; from < columns.size();) {
        std::size_t to = from + 1;
        while (to < columns.size() && fits(render(from, to + 1))) ++to;
        out += (out.empty() ? "" : "\n") + render(from, to);
        from = to;
    }
    return out;
}

}  // namespace lobewright
