// command_text.hpp: what the command line says of itself, as plain values: man pages and completions are made of it, so
// that they can't say anything else than --help does.
#pragma once

#include <string>
#include <vector>

namespace CLI {
class App;
}

namespace lobewright {

/// What stands behind an option, or in a place of its own.
enum class ValueKind { none, file, folder, choice, other };

struct OptionText {
    std::vector<std::string> names;  // "-h", "--help"; of a value in a place of its own its name alone
    std::string value;               // "FILE"; empty for a flag
    ValueKind kind = ValueKind::none;
    std::vector<std::string> choices;  // where kind is choice
    bool repeats = false;
    std::string help;
};

struct CommandText {
    std::string name;   // "compare"; empty: the program itself
    std::string about;  // its first line of help
    std::string usage;  // "lobewright compare [OPTIONS] REFERENCE USED"
    std::vector<OptionText> places;
    std::vector<OptionText> options;
    std::string closing;  // examples, exit status, and what else stands below the options
};

/// The program itself, then its commands in their order; hidden ones left out.
std::vector<CommandText> command_texts(const CLI::App& app);

}  // namespace lobewright
