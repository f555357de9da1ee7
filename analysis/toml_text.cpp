#include "analysis/toml_text.hpp"

#include <fmt/format.h>

namespace lobewright {

std::string toml_text(std::string_view text) {
    std::string printed = "\"";
    for (const char c : text) {
        const auto byte = static_cast<unsigned char>(c);
        if (c == '"' || c == '\\')
            printed.append({'\\', c});
        else if (c == '\n')
            printed += "\\n";
        else if (byte < 0x20 || byte == 0x7f)
            printed += fmt::format("\\u{:04X}", byte);
        else
            printed += c;
    }
    return printed + '"';
}

}  // namespace lobewright
