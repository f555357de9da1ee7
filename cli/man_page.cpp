#include "cli/man_page.hpp"

#include <algorithm>
#include <cctype>
#include <string_view>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace lobewright {
namespace {

std::string title_of(const CommandText& command) {
    return command.name.empty() ? "lobewright" : "lobewright-" + command.name;
}

/// Text as the macros take it: no line of it is one of them, and a hyphen can be copied from the page.
std::string roff(std::string_view text) {
    std::string out;
    bool line_begins = true;
    for (const char c : text) {
        if (line_begins && (c == '.' || c == '\'')) out += "\\&";
        line_begins = c == '\n';
        if (c == '\\') {
            out += "\\e";
        } else if (c == '-') {
            out += "\\-";
        } else {
            out += c;
        }
    }
    return out;
}

/// The blocks between blank lines.
std::vector<std::string> blocks_of(std::string_view text) {
    std::vector<std::string> out;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find("\n\n"), text.size());
        std::string block(text.substr(0, end));
        while (block.ends_with('\n')) block.pop_back();
        if (!block.empty()) out.push_back(std::move(block));
        text.remove_prefix(std::min(end + 2, text.size()));
    }
    return out;
}

/// Filled where it is running text; where lines are indented they stay as they are.
std::string paragraph_of(const std::string& block) {
    const bool as_it_is = block.find("\n ") != std::string::npos || block.starts_with(' ');
    return as_it_is ? fmt::format(".PP\n.nf\n{}\n.fi\n", roff(block)) : fmt::format(".PP\n{}\n", roff(block));
}

/// Takes `head` off the block where it begins with it, and the blank or line end behind it.
bool take_head(std::string& block, std::string_view head) {
    if (!block.starts_with(head)) return false;
    block.erase(0, head.size());
    if (block.starts_with('\n') || block.starts_with(' ')) block.erase(0, 1);
    return true;
}

struct Closing {
    std::string description, examples, exit_status;
};

Closing closing_of(const CommandText& command) {
    Closing out;
    for (std::string block : blocks_of(command.closing)) {
        if (take_head(block, "Examples:")) {
            out.examples += fmt::format(".nf\n{}\n.fi\n", roff(block));
        } else if (take_head(block, "Exit status:")) {
            out.exit_status += roff(block) + "\n";
        } else {
            out.description += paragraph_of(block);
        }
    }
    return out;
}

std::string section(std::string_view head, const std::string& body) {
    return body.empty() ? "" : fmt::format(".SH {}\n{}", head, body);
}

std::string options_of(const std::vector<OptionText>& options) {
    std::string out;
    for (const OptionText& option : options) {
        std::string value = option.kind == ValueKind::choice
                                ? fmt::format("{}", fmt::join(option.choices, "|"))
                                : option.value;
        if (value == "..." || value == option.names.back()) value.clear();
        out += fmt::format(".TP\n.B {}{}{}{}\n{}\n", roff(fmt::format("{}", fmt::join(option.names, ", "))),
                           value.empty() ? "" : " ", roff(value), option.repeats ? " ..." : "",
                           roff(option.help));
    }
    return out;
}

std::string commands_of(const std::vector<CommandText>& all) {
    std::string out;
    for (const CommandText& one : all) {
        if (!one.name.empty())
            out += fmt::format(".TP\n.BR {} (1)\n{}\n", roff(title_of(one)), roff(one.about));
    }
    return out;
}

/// The first sentence as the list of pages (apropos) has it.
std::string in_short(const std::string& about) {
    std::string line = about.substr(0, about.find(":\n"));
    std::replace(line.begin(), line.end(), '\n', ' ');
    if (!line.empty()) line[0] = static_cast<char>(std::tolower(static_cast<unsigned char>(line[0])));
    return line;
}

}  // namespace

std::string man_page_name(const CommandText& command) {
    return title_of(command) + ".1";
}

std::string man_page(const CommandText& command, const std::vector<CommandText>& all) {
    const bool whole = command.name.empty();
    const Closing closing = closing_of(command);
    std::string title = title_of(command), about;
    std::transform(title.begin(), title.end(), title.begin(),
                   [](unsigned char c) { return static_cast<char>(std::toupper(c)); });
    for (const std::string& block : blocks_of(command.about)) about += paragraph_of(block);
    std::string out =
        fmt::format(".TH {} 1 \"\" \"lobewright {}\" \"User Commands\"\n", roff(title), LOBEWRIGHT_VERSION);
    out +=
        section("NAME", fmt::format("{} \\- {}\n", roff(title_of(command)), roff(in_short(command.about))));
    out += section("SYNOPSIS", fmt::format(".B {}\n", roff(command.usage)));
    out += section("DESCRIPTION",
                   whole || closing.description.empty() ? about + closing.description : closing.description);
    out += section("ARGUMENTS", options_of(command.places));
    out += section("OPTIONS", options_of(command.options));
    if (whole) out += section("COMMANDS", commands_of(all));
    out += section("EXAMPLES", closing.examples);
    out += section("EXIT STATUS", closing.exit_status);
    out += section("SEE ALSO", whole ? "The pages in /usr/share/doc/lobewright\n" : ".BR lobewright (1)\n");
    return out;
}

}  // namespace lobewright
