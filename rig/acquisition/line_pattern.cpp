#include "rig/acquisition/line_pattern.hpp"

#include <cstddef>

namespace lobewright {

std::string_view beyond_regex(std::string_view pattern) {
    constexpr std::size_t most_repeat_digits = 4;
    const auto is_digit = [](char c) { return c >= '0' && c <= '9'; };
    std::size_t digits = 0;
    bool repeat = false;
    for (std::size_t i = 0; i < pattern.size(); ++i) {
        const char c = pattern[i];
        if (c == '\\' && i + 1 < pattern.size()) {
            if (is_digit(pattern[++i]))
                return "refers back by a backslash and a digit, which isn't supported";
            repeat = false;
            continue;
        }
        if (!is_digit(c)) repeat = c == '{' || (repeat && c == ',');
        digits = repeat && is_digit(c) ? digits + 1 : 0;
        if (digits > most_repeat_digits) return "repeats more than 9999 times";
    }
    return {};
}

}  // namespace lobewright
