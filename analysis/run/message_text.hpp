// message_text.hpp: how places and found text are shown in the one-line messages of analysis/run.
// Input files come from anywhere, so what is shown of them never breaks the line or the terminal.
#pragma once

#include <cstddef>
#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace lobewright {

/// `file:line`, or `file` alone for line 0 (a thing that stands on no line, such as a missing table).
std::string place(const std::filesystem::path& file, std::size_t line = 0);

/// The text in double quotes, control bytes and broken UTF-8 by their digits (backslash, x, two of them), cut after 40 bytes.
std::string in_quotes(std::string_view found);

/// "a, b, c".
std::string joined(const std::vector<std::string_view>& parts);

/// "; did you mean width?" when one of `known` is a slip of the pen away from `found`, else nothing.
std::string meant(std::string_view found, const std::vector<std::string_view>& known);

/// Whether the bytes are well-formed UTF-8 (Unicode 15, table 3-7), control characters other than tab
/// excluded.
bool is_plain_utf8(std::string_view text);

/// The text without blanks and tabs at either end.
std::string_view trimmed(std::string_view text);

}  // namespace lobewright
