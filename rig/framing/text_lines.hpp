// text_lines.hpp: bytes of a stand-alone device to its lines, each with the time at which its first byte came. Lines end with
// CR, LF or both; empty ones are none.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace lobewright {

class TextLines {
public:
    /// `us_per_byte`: how long a byte takes on the wire; 0 where it takes none worth counting.
    explicit TextLines(double us_per_byte) : us_per_byte_(us_per_byte) {}

    /// `host_us`: when the last of `bytes` had come. Calls `line(text, first_byte_us)`, or `overlong()` for a line longer
    /// than any reading.
    template <class Line, class Overlong>
    void feed(double host_us, std::string_view bytes, Line&& line, Overlong&& overlong) {
        for (std::size_t i = 0; i < bytes.size(); ++i) {
            const char c = bytes[i];
            if (c == '\r' || c == '\n') {
                if (!text_.empty() && !skipping_) line(std::string_view(text_), first_us_);
                text_.clear();
                skipping_ = false;
                continue;
            }
            if (text_.empty()) first_us_ = host_us - static_cast<double>(bytes.size() - i) * us_per_byte_;
            if (text_.size() < longest) {
                text_ += c;
            } else if (!skipping_) {
                skipping_ = true;
                overlong();
            }
        }
    }
    void reset() {
        text_.clear();
        skipping_ = false;
    }

private:
    static constexpr std::size_t longest = 128;
    double us_per_byte_;
    std::string text_;
    double first_us_ = 0.0;
    bool skipping_ = false;  // the line in hand is too long to be one
};

}  // namespace lobewright
