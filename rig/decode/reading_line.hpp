// reading_line.hpp: what one line of a stand-alone device says. Its pattern is compiled once; numbers stay whole numbers with
// their decimals until they are complete, so that 0,001 is one step and nothing less.
#pragma once

#include <cstdint>
#include <optional>
#include <regex>
#include <string_view>

#include "rig/acquisition/rig_description.hpp"

namespace lobewright {

/// A decimal number as it was written: `digits` times ten to the minus `decimals`.
struct Decimal {
    std::int64_t digits = 0;
    int decimals = 0;
    [[nodiscard]] double value() const;
};

/// An optional sign, blanks, digits, and an optional point or comma with digits; nothing else. 18 digits at most.
std::optional<Decimal> parse_decimal(std::string_view text);

struct DeviceLine {
    Decimal value;
    std::optional<std::uint64_t> ticks;  // the device's clock
    bool index = false;                  // the count at the index mark
};

class LineReader {
public:
    /// Throws DataError for a pattern that isn't one.
    explicit LineReader(const LineFormat& format);
    /// None when the line isn't exactly as described.
    std::optional<DeviceLine> read(std::string_view line);

private:
    std::regex value_;
    std::optional<std::regex> index_, clock_;
    std::optional<int> decimals_;  // due in every reading; the first one's, when not described
};

}  // namespace lobewright
