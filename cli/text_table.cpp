#include "cli/text_table.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace lobewright {
namespace {

std::vector<std::string> lines_of(std::string_view text) {
    std::vector<std::string> lines(1);
    for (const char c : text) {
        if (c == '\n') {
            lines.emplace_back();
        } else {
            lines.back() += c;
        }
    }
    return lines;
}

/// The columns' heads as rows of cells, shorter heads standing at the bottom.
std::vector<std::vector<Cell>> head_rows(const std::vector<Column>& columns) {
    std::size_t height = 0;
    for (const Column& column : columns) height = std::max(height, lines_of(column.head).size());
    std::vector<std::vector<Cell>> rows(height, std::vector<Cell>(columns.size()));
    for (std::size_t c = 0; c < columns.size(); ++c) {
        const std::vector<std::string> lines = lines_of(columns[c].head);
        for (std::size_t i = 0; i < lines.size(); ++i) rows[height - lines.size() + i][c].text = lines[i];
    }
    return rows;
}

void add_row(std::string& out, const std::vector<Column>& columns, const std::vector<std::size_t>& widths,
             const std::vector<Cell>& row, bool colour) {
    std::string line;
    for (std::size_t c = 0; c < columns.size(); ++c) {
        const std::string blanks(widths[c] - width_of(row[c].text), ' ');
        const std::string text = toned(row[c].text, row[c].tone, colour);
        if (c > 0) line += "  ";
        line += columns[c].number ? blanks + text : text + blanks;
    }
    line.erase(line.find_last_not_of(' ') + 1);
    out += line + "\n";
}

}  // namespace

std::size_t width_of(std::string_view text) {
    return static_cast<std::size_t>(std::count_if(
        text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

std::string toned(std::string_view text, Tone tone, bool colour) {
    if (!colour || tone == Tone::plain || text.empty()) return std::string(text);
    const int code = tone == Tone::good ? 32 : tone == Tone::bad ? 31 : 33;
    return fmt::format("\x1b[1;{}m{}\x1b[0m", code, text);
}

std::string format_table(const std::vector<Column>& columns, const std::vector<std::vector<Cell>>& rows,
                         bool colour) {
    std::vector<std::vector<Cell>> all = head_rows(columns);
    all.insert(all.end(), rows.begin(), rows.end());
    std::vector<std::size_t> widths(columns.size(), 0);
    for (const std::vector<Cell>& row : all) {
        for (std::size_t c = 0; c < columns.size(); ++c)
            widths[c] = std::max(widths[c], width_of(row[c].text));
    }
    std::string out;
    for (const std::vector<Cell>& row : all) add_row(out, columns, widths, row, colour);
    return out;
}

std::string paragraph(std::string_view text, std::string_view first) {
    const std::string indent(width_of(first), ' ');
    std::string out;
    std::string line(first);
    bool line_is_empty = true;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find(' '), text.size());
        const std::string_view piece = text.substr(0, end);
        text.remove_prefix(std::min(end + 1, text.size()));
        if (piece.empty()) continue;
        if (!line_is_empty && width_of(line) + 1 + width_of(piece) > screen_width) {
            out += line + "\n";
            line = indent;
            line_is_empty = true;
        }
        if (!line_is_empty) line += ' ';
        line += piece;
        line_is_empty = false;
    }
    return out + line + "\n";
}

}  // namespace lobewright
