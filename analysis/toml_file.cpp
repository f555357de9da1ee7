#include "analysis/toml_file.hpp"

#include <algorithm>
#include <string>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/run/message_text.hpp"

namespace lobewright {
namespace {

/// Where the text in quotes that begins at `at` ends, one past its last quote; the line's end for a short
/// text that isn't closed, of which toml++ will complain.
std::size_t end_of_quotes(std::string_view text, std::size_t at) {
    const std::string one(1, text[at]);
    const std::string three(3, text[at]);
    const bool is_long = text.substr(at).starts_with(three);
    const std::string& closing = is_long ? three : one;
    for (at += closing.size(); at < text.size(); ++at) {
        if (text[at] == '\\' && one == "\"") {
            ++at;
        } else if (text[at] == '\n' && !is_long) {
            return at;
        } else if (text.substr(at).starts_with(closing)) {
            at += closing.size();
            // A long text may itself end in one or two quotes.
            for (int more = 0; is_long && more < 2 && text.substr(at).starts_with(one); ++more) ++at;
            return at;
        }
    }
    return text.size();
}

/// Refuses what toml++ 3.3 doesn't survive: it goes one call deeper for each point in a dotted key, until the
/// stack is used up; and where a letter beyond ASCII stands outside quotes and remarks, where TOML has none,
/// its test for blanks runs into a place marked as never reached.
void require_harmless(std::string_view text, const std::filesystem::path& file) {
    constexpr int most_points = 16;  // in one key; ours need one
    constexpr std::string_view byte_order_mark = "\xef\xbb\xbf";
    std::size_t line = 1;
    int points = 0;
    std::size_t at = text.starts_with(byte_order_mark) ? byte_order_mark.size() : 0;
    while (at < text.size()) {
        std::size_t end = at + 1;
        const char c = text[at];
        if (c == '"' || c == '\'') {
            end = end_of_quotes(text, at);
        } else if (c == '#') {
            end = std::min(text.find('\n', at), text.size());
        } else if (static_cast<unsigned char>(c) >= 0x80) {
            const std::size_t word_end = std::min(text.find_first_of(" \t\r\n\"'#=", at), text.size());
            throw DataError(fmt::format("{}: {} outside quotes, where TOML has no such letter",
                                        place(file, line), in_quotes(text.substr(at, word_end - at))));
        } else if (c == '.' && ++points > most_points) {
            throw DataError(
                fmt::format("{}: a key with more than {} points", place(file, line), most_points));
        } else if (std::string_view("=,[]{}\n").find(c) != std::string_view::npos) {
            points = 0;
        }
        line += static_cast<std::size_t>(std::count(text.begin() + static_cast<std::ptrdiff_t>(at),
                                                    text.begin() + static_cast<std::ptrdiff_t>(end), '\n'));
        at = end;
    }
}

}  // namespace

toml::table parse_toml(std::string_view text, const std::filesystem::path& file) {
    require_harmless(text, file);
    toml::parse_result parsed = toml::parse(text);
    if (parsed) return std::move(parsed).table();
    const toml::parse_error& error = parsed.error();
    // toml++ may quote the file in its words, line ends and all.
    std::string what(error.description());
    std::replace_if(
        what.begin(), what.end(), [](char c) { return static_cast<unsigned char>(c) < 0x20; }, ' ');
    throw DataError(fmt::format("{}: not TOML: {}", place(file, error.source().begin.line), what));
}

}  // namespace lobewright
