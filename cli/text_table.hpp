// text_table.hpp: columns and paragraphs for an 80-column screen. Widths count characters (UTF-8), not bytes.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace lobewright {

inline constexpr std::size_t screen_width = 80;

enum class Tone { plain, good, bad, open };

/// One cell. The tone only colours what the word says already.
struct Cell {
    std::string text;
    Tone tone = Tone::plain;
};

/// `head` may have several lines; numbers stand to the right.
struct Column {
    std::string head;
    bool number = false;
};

/// Characters in UTF-8 text: every byte but the continuation bytes.
std::size_t width_of(std::string_view text);

/// `text` in the tone's colour when `colour`, otherwise as it is.
std::string toned(std::string_view text, Tone tone, bool colour);

/// The table with its head, two blanks between columns, a newline after each row. Rows are as long as
/// `columns`.
std::string format_table(const std::vector<Column>& columns, const std::vector<std::vector<Cell>>& rows,
                         bool colour);

/// `text` broken at blanks to the screen's width; the first line starts with `first`, the others with as many
/// blanks. Ends with a newline. A word longer than the screen stands alone on its line.
std::string paragraph(std::string_view text, std::string_view first = "");

}  // namespace lobewright
