#include "cli/completions.hpp"

#include <algorithm>
#include <string_view>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace lobewright {
namespace {

constexpr auto completion_origin = "made by `lobewright manual` from the program's own help";

/// In single quotes, as all three shells take them.
std::string single_quoted(std::string_view text) {
    std::string out = "'";
    for (const char c : text) out += c == '\'' ? std::string("'\\''") : std::string(1, c);
    return out + "'";
}

std::string option_names(const CommandText& command) {
    std::vector<std::string> names;
    for (const OptionText& option : command.options)
        names.insert(names.end(), option.names.begin(), option.names.end());
    return fmt::format("{}", fmt::join(names, " "));
}

/// What the values in places of their own are: the first that a shell can complete.
ValueKind places_kind(const CommandText& command) {
    for (const OptionText& place : command.places) {
        if (place.kind == ValueKind::folder || place.kind == ValueKind::file) return place.kind;
    }
    return ValueKind::none;
}

/// Names of commands, and the program's own options.
std::string first_words(const std::vector<CommandText>& commands) {
    std::string out = option_names(commands.front());
    for (const CommandText& command : commands) {
        if (!command.name.empty()) out += " " + command.name;
    }
    return out;
}

std::string bash_values(ValueKind kind, const std::vector<std::string>& choices) {
    switch (kind) {
        case ValueKind::file:
            return "_lobewright_paths -f";
        case ValueKind::folder:
            return "_lobewright_paths -d";
        case ValueKind::choice:
            return fmt::format("_lobewright_words {}",
                               single_quoted(fmt::format("{}", fmt::join(choices, " "))));
        default:
            return ":";
    }
}

std::string zsh_values(const OptionText& option) {
    switch (option.kind) {
        case ValueKind::file:
            return "_files";
        case ValueKind::folder:
            return "_files -/";
        case ValueKind::choice:
            return fmt::format("({})", fmt::join(option.choices, " "));
        default:
            return " ";
    }
}

/// Text within an argument of _arguments.
std::string zsh_text(std::string_view text) {
    std::string out;
    for (const char c : text) {
        if (c == '[' || c == ']' || c == ':' || c == '\\') out += '\\';
        out += c;
    }
    return out;
}

std::string zsh_option(const OptionText& option) {
    std::string out;
    for (const std::string& name : option.names) {
        std::string one = fmt::format("{}{}[{}]", option.repeats ? "*" : "", name, zsh_text(option.help));
        if (option.kind != ValueKind::none) one += fmt::format(":{}:{}", option.value, zsh_values(option));
        out += " \\\n        " + single_quoted(one);
    }
    return out;
}

std::string fish_values(ValueKind kind, const std::vector<std::string>& choices) {
    switch (kind) {
        case ValueKind::none:
            return "";
        case ValueKind::file:
            return " -r -F";
        case ValueKind::folder:
            return " -x -a '(__fish_complete_directories)'";
        case ValueKind::choice:
            return fmt::format(" -x -a {}", single_quoted(fmt::format("{}", fmt::join(choices, " "))));
        default:
            return " -x";
    }
}

std::string fish_option(const std::string& when, const OptionText& option) {
    std::string out = fmt::format("complete -c lobewright -n {}", single_quoted(when));
    for (const std::string& name : option.names)
        out += name.starts_with("--") ? " -l " + name.substr(2) : " -s " + name.substr(1);
    return out + fish_values(option.kind, option.choices) + " -d " + single_quoted(option.help) + "\n";
}

}  // namespace

std::string bash_completion(const std::vector<CommandText>& commands) {
    std::string out = fmt::format("# Completion of lobewright in bash; {}.\n", completion_origin);
    out += R"(_lobewright_words() { mapfile -t COMPREPLY < <(compgen -W "$1" -- "$word"); }
_lobewright_paths() {
    compopt -o filenames 2>/dev/null
    mapfile -t COMPREPLY < <(compgen "$1" -- "$word")
}
_lobewright() {
    local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]}
    COMPREPLY=()
)";
    out += fmt::format(
        "    if [ \"$COMP_CWORD\" -eq 1 ]; then\n        _lobewright_words {}\n        return\n    fi\n",
        single_quoted(first_words(commands)));
    out += "    case ${COMP_WORDS[1]} in\n";
    for (const CommandText& command : commands) {
        if (command.name.empty()) continue;
        out += fmt::format("        {})\n            case $before in\n", command.name);
        for (const OptionText& option : command.options) {
            if (option.kind != ValueKind::none)
                out += fmt::format("                {}) {}; return ;;\n", fmt::join(option.names, "|"),
                                   bash_values(option.kind, option.choices));
        }
        out += fmt::format(
            "            esac\n            case $word in\n                -*) _lobewright_words {} ;;\n",
            single_quoted(option_names(command)));
        out += fmt::format("                *) {} ;;\n            esac ;;\n",
                           bash_values(places_kind(command), {}));
    }
    return out + "    esac\n}\ncomplete -F _lobewright lobewright\n";
}

std::string zsh_completion(const std::vector<CommandText>& commands) {
    std::string out =
        fmt::format("#compdef lobewright\n# Completion of lobewright in zsh; {}.\n", completion_origin);
    out += "_lobewright() {\n  local -a commands\n  commands=(\n";
    for (const CommandText& command : commands) {
        if (!command.name.empty())
            out += fmt::format("    {}\n", single_quoted(command.name + ":" + zsh_text(command.about)));
    }
    out += "  )\n  if (( CURRENT == 2 )); then\n    _describe command commands\n    _arguments";
    for (const OptionText& option : commands.front().options) out += zsh_option(option);
    out +=
        "\n    return\n  fi\n  local command=$words[2]\n  shift words\n  (( CURRENT-- ))\n  case $command "
        "in\n";
    for (const CommandText& command : commands) {
        if (command.name.empty()) continue;
        out += fmt::format("    {})\n      _arguments", command.name);
        for (const OptionText& option : command.options) out += zsh_option(option);
        const ValueKind places = places_kind(command);
        if (places != ValueKind::none)
            out += places == ValueKind::folder ? " \\\n        '*:folder:_files -/'"
                                               : " \\\n        '*:file:_files'";
        out += " ;;\n";
    }
    return out + "  esac\n}\n_lobewright \"$@\"\n";
}

std::string fish_completion(const std::vector<CommandText>& commands) {
    std::string out = fmt::format("# Completion of lobewright in fish; {}.\ncomplete -c lobewright -f\n",
                                  completion_origin);
    for (const CommandText& command : commands) {
        const bool whole = command.name.empty();
        const std::string when =
            whole ? "__fish_use_subcommand" : "__fish_seen_subcommand_from " + command.name;
        if (!whole) {
            out += fmt::format("complete -c lobewright -n __fish_use_subcommand -a {} -d {}\n", command.name,
                               single_quoted(command.about));
        }
        for (const OptionText& option : command.options) out += fish_option(when, option);
        const ValueKind places = places_kind(command);
        if (places == ValueKind::folder)
            out += fmt::format("complete -c lobewright -n {} -a '(__fish_complete_directories)'\n",
                               single_quoted(when));
        if (places == ValueKind::file)
            out += fmt::format("complete -c lobewright -n {} -F\n", single_quoted(when));
    }
    return out;
}

}  // namespace lobewright
