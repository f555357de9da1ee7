#include <array>
#include <charconv>
#include <cmath>
#include <limits>

#include <fmt/format.h>

#include "analysis/run/run_fields.hpp"
#include "analysis/run/run_toml.hpp"
#include "analysis/toml_text.hpp"

namespace lobewright {

namespace {

using NumberBuffer = std::array<char, 64>;  // 15 digits, a point and 17 decimals, or the shortest form

double number_in(std::string_view text) {
    double number = 0.0;
    std::from_chars(text.data(), text.data() + text.size(), number);
    return number;
}

/// The number that times `scale` gives `value`. Division alone can miss it by its own rounding and the
/// product's, two units in the last place at most; where no number gives `value` exactly, the quotient is the
/// nearest.
double number_for(double value, double scale) {
    constexpr double infinity = std::numeric_limits<double>::infinity();
    const double quotient = value / scale;
    double below = quotient;
    double above = quotient;
    for (int steps = 0; steps <= 2; ++steps) {
        if (below * scale == value) return below;
        if (above * scale == value) return above;
        below = std::nextafter(below, -infinity);
        above = std::nextafter(above, infinity);
    }
    return quotient;
}

/// The shortest text with a point or an exponent that, as a number times `scale`, gives `value` again.
std::string shortest_text(double value, double scale) {
    NumberBuffer buffer{};
    const double number = number_for(value, scale);
    const double product = number * scale;
    constexpr double most_in_full = 1e15;  // beyond it an exponent reads better than a row of digits
    for (int decimals = 1; decimals <= 17 && std::abs(number) < most_in_full; ++decimals) {
        const auto end =
            std::to_chars(buffer.begin(), buffer.end(), number, std::chars_format::fixed, decimals).ptr;
        const std::string_view text(buffer.data(), static_cast<std::size_t>(end - buffer.data()));
        if (number_in(text) * scale == product) return std::string(text);
    }
    const auto end = std::to_chars(buffer.begin(), buffer.end(), number, std::chars_format::scientific).ptr;
    return {buffer.data(), end};
}

/// The Form that prints (run_fields.hpp).
class TablePrinter {
public:
    void format(std::string_view key, std::string_view known) { text(key, std::string(known)); }
    void units(std::string_view key, Units value) {
        units_ = value;
        choice(key, value);
    }

    void text(std::string_view key, const std::string& value) { line(key, toml_text(value)); }
    void name(std::string_view key, const std::string& value) { text(key, value); }
    void time(std::string_view key, const std::string& value) { line(key, value); }
    void number(std::string_view key, double value, Bound /*bound*/) { line(key, shortest_text(value, 1.0)); }
    void length(std::string_view key, double value, Bound /*bound*/) {
        line(key, length_text(value, units_));
    }
    void whole(std::string_view key, std::int64_t value) { line(key, fmt::format("{}", value)); }
    void defaulted_number(std::string_view key, double value) { number(key, value, Bound::any); }
    void defaulted_sign(std::string_view key, int value) { whole(key, value); }
    template <class Choice>
    void choice(std::string_view key, Choice value) {
        text(key, std::string(word(value)));
    }

    void text(std::string_view key, const std::optional<std::string>& value) {
        if (value) text(key, *value);
    }
    void number(std::string_view key, const std::optional<double>& value, Bound bound) {
        if (value) number(key, *value, bound);
    }
    void length(std::string_view key, const std::optional<double>& value, Bound bound) {
        if (value) length(key, *value, bound);
    }
    void whole(std::string_view key, const std::optional<std::int64_t>& value) {
        if (value) whole(key, *value);
    }

    template <class Section>
    void section(std::string_view key, const Section& value) {
        printed_ += fmt::format("\n[{}]\n", key);
        fields(*this, value);
    }
    template <class Section>
    void section(std::string_view key, const std::optional<Section>& value) {
        if (value) section(key, *value);
    }
    template <class Entry>
    void list(std::string_view key, const std::vector<Entry>& value) {
        const std::string outer = path_;
        path_ += outer.empty() ? std::string(key) : fmt::format(".{}", key);
        for (const Entry& entry : value) {
            printed_ += fmt::format("\n[[{}]]\n", path_);
            fields(*this, entry);
        }
        path_ = outer;
    }

    [[nodiscard]] const std::string& printed() const { return printed_; }

private:
    void line(std::string_view key, std::string_view value) {
        printed_ += fmt::format("{} = {}\n", key, value);
    }

    std::string printed_;
    std::string path_;  // of the list that is being printed: "lobe"
    Units units_ = Units::mm;
};

}  // namespace

std::string length_text(double length_mm, Units units) {
    return shortest_text(length_mm, mm_per(units));
}

std::string print_run_toml(const Run& run) {
    TablePrinter form;
    fields(form, run);
    return form.printed();
}

}  // namespace lobewright
