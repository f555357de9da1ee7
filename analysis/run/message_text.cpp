#include "analysis/run/message_text.hpp"

#include <algorithm>
#include <numeric>

#include <fmt/format.h>

namespace lobewright {

namespace {

constexpr std::size_t most_shown = 40;  // bytes of found text: enough to find it, short enough for one line

bool is_control(unsigned char byte) {
    return byte < 0x20 || byte == 0x7f;
}

/// Length of the well-formed UTF-8 sequence at the front of `text` (not empty), 0 where there is none.
std::size_t sequence_length(std::string_view text) {
    const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
    const unsigned char lead = byte(0);
    if (lead < 0x80) return 1;
    const std::size_t length = lead < 0xc2 ? 0 : lead < 0xe0 ? 2 : lead < 0xf0 ? 3 : lead < 0xf5 ? 4 : 0;
    if (length == 0 || text.size() < length) return 0;
    for (std::size_t i = 1; i < length; ++i)
        if ((byte(i) & 0xc0) != 0x80) return 0;
    // Overlong forms, surrogates and what lies beyond U+10FFFF.
    const bool wrong = (lead == 0xe0 && byte(1) < 0xa0) || (lead == 0xed && byte(1) > 0x9f) ||
                       (lead == 0xf0 && byte(1) < 0x90) || (lead == 0xf4 && byte(1) > 0x8f);
    return wrong ? 0 : length;
}

/// Length of the character at the front of `text` (not empty) where a terminal shows it as it is: 0 for what is no UTF-8, for
/// control characters, also those of eight bits (U+0080 on: an escape sequence can begin with one), and for marks that turn
/// the direction of writing, behind which a name can look like another.
std::size_t shown_length(std::string_view text) {
    const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
    const std::size_t length = is_control(byte(0)) ? 0 : sequence_length(text);
    const bool eight_bits = length == 2 && byte(0) == 0xc2 && byte(1) < 0xa0;
    const bool turns = length == 3 && byte(0) == 0xe2 &&
                       ((byte(1) == 0x80 && (byte(2) == 0x8e || byte(2) == 0x8f ||      // U+200E, U+200F
                                             (byte(2) >= 0xaa && byte(2) <= 0xae))) ||  // U+202A to U+202E
                        (byte(1) == 0x81 && byte(2) >= 0xa6 && byte(2) <= 0xa9));       // U+2066 to U+2069
    return eight_bits || turns ? 0 : length;
}

/// Edits (insert, delete, change, swap of neighbours) that lead from one word to the other.
std::size_t edits_between(std::string_view from, std::string_view to) {
    std::vector<std::size_t> before_last;
    std::vector<std::size_t> last(to.size() + 1);
    std::iota(last.begin(), last.end(), std::size_t{0});
    for (std::size_t i = 1; i <= from.size(); ++i) {
        std::vector<std::size_t> row(to.size() + 1, i);
        for (std::size_t j = 1; j <= to.size(); ++j) {
            const std::size_t change = last[j - 1] + (from[i - 1] == to[j - 1] ? 0 : 1);
            row[j] = std::min({last[j] + 1, row[j - 1] + 1, change});
            const bool swapped = i > 1 && j > 1 && from[i - 1] == to[j - 2] && from[i - 2] == to[j - 1];
            if (swapped) row[j] = std::min(row[j], before_last[j - 2] + 1);
        }
        before_last = std::move(last);
        last = std::move(row);
    }
    return last[to.size()];
}

}  // namespace

std::string printable(std::string_view text) {
    std::string shown;
    shown.reserve(text.size());
    while (!text.empty()) {
        const std::size_t length = shown_length(text);
        shown += length == 0 ? std::string_view("?") : text.substr(0, length);
        text.remove_prefix(std::max<std::size_t>(sequence_length(text), 1));
    }
    return shown;
}

std::string place(const std::filesystem::path& file, std::size_t line) {
    const std::string shown = printable(file.string());
    return line == 0 ? shown : fmt::format("{}:{}", shown, line);
}

std::string in_quotes(std::string_view found) {
    std::string shown = "\"";
    std::size_t at = 0;
    while (at < found.size() && at < most_shown) {
        const auto byte = static_cast<unsigned char>(found[at]);
        const std::size_t length = shown_length(found.substr(at));
        if (length == 0)
            shown += fmt::format("\\x{:02x}", byte);
        else
            shown += found.substr(at, length);
        at += std::max<std::size_t>(length, 1);
    }
    return shown + (at < found.size() ? "…\"" : "\"");
}

std::string joined(const std::vector<std::string_view>& parts) {
    std::string text;
    for (const std::string_view part : parts) {
        if (!text.empty()) text += ", ";
        text += part;
    }
    return text;
}

std::string meant(std::string_view found, const std::vector<std::string_view>& known) {
    std::string_view best;
    std::size_t least = found.size();
    for (const std::string_view word : known) {
        // A third of the letters wrong is still a slip; more is another word.
        const std::size_t longest = std::max(word.size(), found.size());
        if (longest > 2 * word.size() + 2) continue;
        const std::size_t edits = edits_between(found, word);
        if (edits < least && edits <= std::max<std::size_t>(1, longest / 3)) {
            best = word;
            least = edits;
        }
    }
    return best.empty() ? std::string{} : fmt::format("; did you mean {}?", best);
}

bool is_plain_utf8(std::string_view text) {
    while (!text.empty()) {
        const auto byte = static_cast<unsigned char>(text.front());
        const std::size_t length = is_control(byte) && byte != '\t' ? 0 : sequence_length(text);
        if (length == 0) return false;
        text.remove_prefix(length);
    }
    return true;
}

std::string_view trimmed(std::string_view text) {
    constexpr std::string_view blanks = " \t";
    const std::size_t from = text.find_first_not_of(blanks);
    if (from == std::string_view::npos) return {};
    return text.substr(from, text.find_last_not_of(blanks) - from + 1);
}

}  // namespace lobewright
