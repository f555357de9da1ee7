// line_framer.hpp: bytes to lines whose check sum is true (docs/rig-protocol.md: `payload*CCCC` LF, at most 128 bytes). In
// text that fails, the good line behind a line end that was hit is found again at a line start, so that no more lines
// are lost than were hit. Bytes may come cut anywhere. Allocates nothing.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <string_view>

#include "rig/framing/crc16_sliced.hpp"

namespace lobewright {

inline constexpr std::size_t longest_rig_line = 128;  // with its line end

/// The payload of `text` (a line without its line end) when its check sum is true; otherwise empty.
inline std::string_view checked_payload(std::string_view text) {
    if (text.size() < 6 || text[text.size() - 5] != '*') return {};
    unsigned said = 0;
    for (const char c : text.substr(text.size() - 4)) {
        const bool digit = c >= '0' && c <= '9';
        if (!digit && (c < 'A' || c > 'F')) return {};
        said = said << 4 | static_cast<unsigned>(digit ? c - '0' : c - 'A' + 10);
    }
    const std::string_view payload = text.substr(0, text.size() - 5);
    return crc16_sliced(payload.data(), payload.size()) == said ? payload : std::string_view{};
}

/// Where at or behind `from` a line may begin; text.size() where nowhere.
inline std::size_t next_line_start(std::string_view text, std::size_t from) {
    for (; from + 1 < text.size(); ++from) {
        if (text[from + 1] == ',' && std::string_view("SXFHBQ").find(text[from]) != std::string_view::npos)
            return from;
    }
    return text.size();
}

class LineFramer {
public:
    /// Gives each good line's payload to `line` and calls `damaged` once for each stretch of text that fails.
    template <class Line, class Damaged>
    void feed(std::string_view bytes, Line&& line, Damaged&& damaged) {
        while (!bytes.empty()) {
            const void* const found = std::memchr(bytes.data(), '\n', bytes.size());
            if (found == nullptr) return keep(bytes, damaged);
            const auto length = static_cast<std::size_t>(static_cast<const char*>(found) - bytes.data());
            if (kept_ == 0 && length < longest_rig_line) {
                finish(bytes.substr(0, length), line, damaged);
            } else {
                keep(bytes.substr(0, length), damaged);
                finish({buffer_.data(), kept_}, line, damaged);
                kept_ = 0;
            }
            bytes.remove_prefix(length + 1);
        }
    }

    /// What stands half read is forgotten, as after an unplug: the next line begins anew.
    void reset() {
        kept_ = 0;
        overlong_ = false;
    }

private:
    template <class Line, class Damaged>
    void finish(std::string_view text, Line&& line, Damaged&& damaged) {
        const std::string_view payload = checked_payload(text);
        if (!payload.empty()) {
            overlong_ = false;
            return line(payload);
        }
        if (!overlong_) damaged();
        overlong_ = false;
        for (std::size_t at = next_line_start(text, 1); at < text.size();
             at = next_line_start(text, at + 1)) {
            const std::string_view behind = checked_payload(text.substr(at));
            if (!behind.empty()) return line(behind);
        }
    }

    /// Adds to the text that has no end yet. Once it is too long for a line, its front goes, up to the next line start.
    template <class Damaged>
    void keep(std::string_view more, Damaged&& damaged) {
        for (;;) {
            const std::size_t room = buffer_.size() - kept_;
            const std::size_t taken = more.size() < room ? more.size() : room;
            std::memcpy(buffer_.data() + kept_, more.data(), taken);
            kept_ += taken;
            more.remove_prefix(taken);
            if (more.empty()) return;
            if (!overlong_) damaged();
            overlong_ = true;
            const std::string_view text(buffer_.data(), kept_);
            std::size_t start = next_line_start(text, 1);
            // The last byte may be a start whose comma is yet to come.
            if (start == kept_) start = kept_ - 1;
            std::memmove(buffer_.data(), buffer_.data() + start, kept_ - start);
            kept_ -= start;
        }
    }

    std::array<char, longest_rig_line - 1> buffer_{};
    std::size_t kept_ = 0;
    bool overlong_ = false;  // the text in hand has been counted as damaged already
};

}  // namespace lobewright
