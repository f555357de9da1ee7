#include "analysis/run/sweep_header.hpp"

#include <algorithm>
#include <array>
#include <charconv>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/run/message_text.hpp"

namespace lobewright {

namespace {

constexpr std::string_view format_name = "lobewright-sweep/";
constexpr std::string_view format_known = "lobewright-sweep/1";
constexpr std::string_view byte_order_mark = "\xef\xbb\xbf";

constexpr std::array all_columns{SweepColumn::t_us, SweepColumn::count, SweepColumn::angle_deg,
                                 SweepColumn::front, SweepColumn::rear};

/// Walks the lines above the rows.
struct HeaderLines {
    std::string_view text;
    const std::filesystem::path& file;
    std::size_t at = 0;
    std::size_t line = 0;

    [[noreturn]] void fail(const std::string& what) const {
        throw DataError(fmt::format("{}: {}", place(file, line), what));
    }

    [[nodiscard]] bool at_end() const { return at == text.size(); }

    /// The next line without its LF or CRLF.
    std::string_view next() {
        ++line;
        const std::size_t end = std::min(text.find('\n', at), text.size());
        std::string_view found = text.substr(at, end - at);
        at = std::min(end + 1, text.size());
        if (found.ends_with('\r')) found.remove_suffix(1);
        return found;
    }
};

bool is_letter(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

/// The key of a `key: value` remark, empty for a free remark: a key is one word that begins with a letter.
std::string_view key_in(std::string_view remark) {
    const std::size_t colon = remark.find(':');
    if (colon == std::string_view::npos || !is_letter(remark.front())) return {};
    const std::string_view key = trimmed(remark.substr(0, colon));
    return key.find_first_of(" \t") == std::string_view::npos ? key : std::string_view{};
}

void read_format(HeaderLines& lines) {
    const std::string_view first = lines.next();
    const std::string_view found = first.starts_with('#') ? trimmed(first.substr(1)) : std::string_view{};
    if (found == format_known) return;
    if (found.starts_with(format_name))
        lines.fail(fmt::format("{} isn't known here; {} is", in_quotes(found), format_known));
    lines.fail(fmt::format("{} where \"# {}\" must stand", first.empty() ? "nothing" : in_quotes(first),
                           format_known));
}

int pass_in(std::string_view value, const HeaderLines& lines) {
    int pass = 0;
    const auto [end, problem] = std::from_chars(value.data(), value.data() + value.size(), pass);
    if (problem != std::errc{} || end != value.data() + value.size() || pass < 1)
        lines.fail(fmt::format("pass: {} isn't a whole number from 1 up", in_quotes(value)));
    return pass;
}

/// One `#` line below the first.
void read_remark(std::string_view remark, const HeaderLines& lines, SweepHeader& header) {
    const std::string_view key = key_in(remark);
    if (key.empty()) return;
    const std::string_view value = trimmed(remark.substr(remark.find(':') + 1));
    if (key == "of") {
        if (header.of_line != 0) lines.fail(fmt::format("of: stands in line {} already", header.of_line));
        if (value.empty()) lines.fail("of: names no lobe or journal");
        header.of = value;
        header.of_line = lines.line;
    } else if (key == "pass") {
        if (header.pass_line != 0)
            lines.fail(fmt::format("pass: stands in line {} already", header.pass_line));
        header.pass = pass_in(value, lines);
        header.pass_line = lines.line;
    } else {
        lines.fail(fmt::format("{}: unknown key{}; known are of and pass, and remarks without a key",
                               in_quotes(key), meant(key, {"of", "pass"})));
    }
}

SweepColumn column_in(std::string_view found, std::size_t ordinal, const HeaderLines& lines) {
    std::vector<std::string_view> names;
    for (const SweepColumn column : all_columns) {
        if (found == name_of(column)) return column;
        names.push_back(name_of(column));
    }
    lines.fail(fmt::format("column {}: {} isn't one of {}{}", ordinal,
                           found.empty() ? "an empty name" : in_quotes(found), joined(names),
                           meant(found, names)));
}

void read_columns(std::string_view row, const HeaderLines& lines, SweepHeader& header) {
    header.columns_line = lines.line;
    header.separator = row.find(';') == std::string_view::npos ? ',' : ';';
    std::size_t from = 0;
    while (from != std::string_view::npos) {
        const std::size_t end = row.find(header.separator, from);
        const std::string_view found = trimmed(row.substr(from, end - from));
        const SweepColumn column = column_in(found, header.columns.size() + 1, lines);
        if (std::find(header.columns.begin(), header.columns.end(), column) != header.columns.end())
            lines.fail(fmt::format("column {} stands twice", found));
        header.columns.push_back(column);
        from = end == std::string_view::npos ? end : end + 1;
    }
    const auto has = [&](SweepColumn column) {
        return std::find(header.columns.begin(), header.columns.end(), column) != header.columns.end();
    };
    const bool by_count = has(SweepColumn::count);
    const bool by_angle = has(SweepColumn::angle_deg);
    if (by_count && by_angle) lines.fail("both count and angle_deg; a sweep has one of the two");
    if (!by_count && !by_angle) lines.fail("no column count or angle_deg; a sweep needs one of the two");
    if (!has(SweepColumn::front) && !has(SweepColumn::rear))
        lines.fail("no column front or rear; a sweep needs a reading");
}

}  // namespace

std::string_view name_of(SweepColumn column) {
    switch (column) {
        case SweepColumn::t_us:
            return "t_us";
        case SweepColumn::count:
            return "count";
        case SweepColumn::angle_deg:
            return "angle_deg";
        case SweepColumn::front:
            return "front";
        case SweepColumn::rear:
            return "rear";
    }
    return {};
}

SweepHeader parse_sweep_header(std::string_view text, const std::filesystem::path& file) {
    HeaderLines lines{.text = text, .file = file};
    if (text.starts_with(byte_order_mark)) lines.at = byte_order_mark.size();
    SweepHeader header;
    read_format(lines);
    while (!lines.at_end()) {
        const std::string_view found = lines.next();
        if (!is_plain_utf8(found)) lines.fail(fmt::format("{} isn't UTF-8 text", in_quotes(found)));
        if (found.starts_with('#')) {
            read_remark(trimmed(found.substr(1)), lines, header);
            continue;
        }
        if (trimmed(found).empty()) lines.fail("a blank line above the column names");
        if (header.of_line == 0) lines.fail("no \"# of: NAME\" line above the column names");
        read_columns(found, lines, header);
        header.rows_at = lines.at;
        return header;
    }
    lines.fail("the file ends before the row of column names");
}

}  // namespace lobewright
