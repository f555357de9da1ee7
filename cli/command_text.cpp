#include "cli/command_text.hpp"

#include <algorithm>
#include <array>
#include <string_view>

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>

namespace lobewright {
namespace {

constexpr std::array<std::string_view, 5> file_words{"FILE", "PATH", "PORT", "LINK", "PIPE"};
constexpr std::array<std::string_view, 4> folder_words{"FOLDER", "RUN", "REFERENCE", "..."};

ValueKind kind_of(std::string_view value) {
    const auto one_of = [&](const auto& words) {
        return std::find(words.begin(), words.end(), value) != words.end();
    };
    if (one_of(file_words)) return ValueKind::file;
    return one_of(folder_words) ? ValueKind::folder : ValueKind::other;
}

/// "mm" and "in" of "UNIT:{mm,in}".
std::vector<std::string> choices_in(const std::string& type) {
    std::vector<std::string> out;
    const std::size_t from = type.find('{'), to = type.find('}');
    if (from == std::string::npos || to == std::string::npos) return out;
    std::string list = type.substr(from + 1, to - from - 1);
    while (!list.empty()) {
        const std::size_t comma = std::min(list.find(','), list.size());
        out.push_back(list.substr(0, comma));
        list.erase(0, comma + 1);
    }
    return out;
}

OptionText text_of(const CLI::Option& option) {
    OptionText out;
    if (option.get_positional()) {
        out.names = {option.get_name(true, false)};
    } else {
        for (const std::string& name : option.get_snames()) out.names.push_back("-" + name);
        for (const std::string& name : option.get_lnames()) out.names.push_back("--" + name);
    }
    out.help = option.get_description();
    out.repeats = option.get_expected_max() == CLI::detail::expected_max_vector_size;
    if (option.get_items_expected_max() == 0) return out;
    const std::string type = option.get_type_name();
    out.value = type.substr(0, type.find(':'));
    out.choices = choices_in(type);
    out.kind = out.choices.empty() ? kind_of(out.value) : ValueKind::choice;
    return out;
}

CommandText text_of(const CLI::App& command, const std::string& name, const std::string& help) {
    CommandText out;
    out.name = name;
    out.about = command.get_description();
    const std::string mark = "Usage: ";
    const std::size_t usage = help.find(mark) + mark.size();
    out.usage = help.substr(usage, help.find('\n', usage) - usage);
    for (const CLI::Option* option : command.get_options(nullptr))
        (option->get_positional() ? out.places : out.options).push_back(text_of(*option));
    out.closing = command.get_footer();
    return out;
}

}  // namespace

std::vector<CommandText> command_texts(const CLI::App& app) {
    // Asked of the formatter: the program's own help() is that of the command that was named.
    const auto help = app.get_formatter()->make_help(&app, app.get_name(), CLI::AppFormatMode::Normal);
    std::vector<CommandText> out{text_of(app, "", help)};
    for (const CLI::App* command : app.get_subcommands([](const CLI::App*) { return true; })) {
        if (!command->get_group().empty())
            out.push_back(text_of(*command, command->get_name(), command->help(app.get_name())));
    }
    return out;
}

}  // namespace lobewright
