// line.hpp: one line of the rig's protocol (docs/rig-protocol.md) in a buffer of fixed size: put together field by field,
// closed with its check sum; and the check of a line that came in. Part of the controller's firmware: no allocation, no
// exceptions, no library but <cstdint> and <cstddef>.
#pragma once

#include <cstddef>
#include <cstdint>

#include "rig/framing/crc16.hpp"

namespace lobewright::firmware {

inline constexpr std::size_t longest_line = 128;  // with its line end
inline constexpr std::size_t ending = 6;          // `*CCCC` and LF

class Line {
public:
    explicit Line(char kind) { put(kind); }

    Line& field(std::uint32_t number) {
        put(',');
        digits(number);
        return *this;
    }
    Line& field(std::int32_t number) {
        put(',');
        if (number < 0) put('-');
        const auto size = static_cast<std::uint32_t>(number);
        digits(number < 0 ? 0U - size : size);
        return *this;
    }
    /// Characters that would break a line in two or in fields become blanks.
    Line& field(const char* text) {
        put(',');
        for (; *text != '\0'; ++text) {
            const bool plain = *text >= 0x20 && *text <= 0x7e && *text != ',' && *text != '*';
            put(plain ? *text : ' ');
        }
        return *this;
    }

    /// Adds check sum and line end; nothing may be added behind it.
    void close() {
        const std::uint16_t sum = crc16(text_, size_);
        text_[size_++] = '*';
        for (int shift = 12; shift >= 0; shift -= 4)
            text_[size_++] = "0123456789ABCDEF"[(sum >> shift) & 0xF];
        text_[size_++] = '\n';
    }

    [[nodiscard]] const char* text() const { return text_; }
    [[nodiscard]] std::size_t size() const { return size_; }

private:
    /// Text beyond what a line holds is left off; only a name can be that long.
    void put(char c) {
        if (size_ < longest_line - ending) text_[size_++] = c;
    }
    void digits(std::uint32_t number) {
        char backwards[10];
        int n = 0;
        do {
            backwards[n++] = static_cast<char>('0' + number % 10);
            number /= 10;
        } while (number != 0);
        while (n > 0) put(backwards[--n]);
    }

    char text_[longest_line] = {};
    std::size_t size_ = 0;
};

/// Size of the payload when `text` (a line without its line end) carries a true check sum; otherwise 0.
inline std::size_t checked_size(const char* text, std::size_t size) {
    if (size < ending || text[size - 5] != '*') return 0;
    unsigned said = 0;
    for (std::size_t i = size - 4; i < size; ++i) {
        const char c = text[i];
        const bool digit = c >= '0' && c <= '9';
        if (!digit && (c < 'A' || c > 'F')) return 0;
        said = said << 4 | static_cast<unsigned>(digit ? c - '0' : c - 'A' + 10);
    }
    return crc16(text, size - 5) == said ? size - 5 : 0;
}

}  // namespace lobewright::firmware
