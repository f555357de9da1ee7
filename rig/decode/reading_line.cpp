#include "rig/decode/reading_line.hpp"

#include <charconv>
#include <cmath>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/run/message_text.hpp"

namespace lobewright {
namespace {

std::regex compiled(const std::string& pattern) {
    try {
        return std::regex(pattern, std::regex::ECMAScript | std::regex::optimize);
    } catch (const std::regex_error&) {
        throw DataError(fmt::format("{} isn't a regular expression", in_quotes(pattern)));
    }
}

/// What the capture holds when the whole line matches.
std::optional<std::string_view> captured(const std::regex& pattern, std::string_view line) {
    std::match_results<std::string_view::const_iterator> found;
    if (!std::regex_match(line.begin(), line.end(), found, pattern) || found.size() < 2 || !found[1].matched)
        return std::nullopt;
    return line.substr(static_cast<std::size_t>(found.position(1)),
                       static_cast<std::size_t>(found.length(1)));
}

}  // namespace

double Decimal::value() const {
    // Both are whole and exact in a double up to 2^53, so that one rounding makes the nearest number.
    return static_cast<double>(digits) / std::pow(10.0, decimals);
}

std::optional<Decimal> parse_decimal(std::string_view text) {
    text = trimmed(text);
    bool negative = false;
    if (!text.empty() && (text.front() == '+' || text.front() == '-')) {
        negative = text.front() == '-';
        text = trimmed(text.substr(1));
    }
    constexpr std::size_t most_digits = 18;
    Decimal out;
    bool mark = false;
    std::size_t digits = 0;
    for (const char c : text) {
        if ((c == '.' || c == ',') && !mark && digits > 0) {
            mark = true;
        } else if (c >= '0' && c <= '9' && ++digits <= most_digits) {
            out.digits = out.digits * 10 + (c - '0');
            out.decimals += mark ? 1 : 0;
        } else {
            return std::nullopt;
        }
    }
    if (digits == 0 || (mark && out.decimals == 0)) return std::nullopt;
    if (negative) out.digits = -out.digits;
    return out;
}

LineReader::LineReader(const LineFormat& format)
    : value_(compiled(format.pattern)), decimals_(format.decimals) {
    if (format.index_pattern) index_ = compiled(*format.index_pattern);
    if (format.clock) clock_ = compiled(format.clock->pattern);
}

std::optional<DeviceLine> LineReader::read(std::string_view line) {
    DeviceLine out;
    std::optional<std::string_view> text;
    if (index_) text = captured(*index_, line);
    out.index = text.has_value();
    if (!text) text = captured(value_, line);
    const std::optional<Decimal> value = text ? parse_decimal(*text) : std::nullopt;
    if (!value || value->decimals != decimals_.value_or(value->decimals)) return std::nullopt;
    if (clock_) {
        const std::optional<std::string_view> ticks = captured(*clock_, line);
        std::uint64_t number = 0;
        if (!ticks) return std::nullopt;
        const auto parsed = std::from_chars(ticks->data(), ticks->data() + ticks->size(), number);
        if (parsed.ec != std::errc{} || parsed.ptr != ticks->data() + ticks->size()) return std::nullopt;
        out.ticks = number;
    }
    decimals_ = value->decimals;
    out.value = *value;
    return out;
}

}  // namespace lobewright
