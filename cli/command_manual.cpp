#include "cli/command_manual.hpp"

#include <filesystem>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>

#include "cli/command_text.hpp"
#include "cli/completions.hpp"
#include "cli/man_page.hpp"
#include "cli/output.hpp"

namespace lobewright {
namespace {

namespace fs = std::filesystem;

Exit write_manual(const fs::path& folder, const std::vector<CommandText>& commands) {
    make_folder(folder);
    make_folder(folder / "man1");
    for (const CommandText& command : commands)
        write_file(folder / "man1" / man_page_name(command), man_page(command, commands));
    write_file(folder / "lobewright.bash", bash_completion(commands));
    write_file(folder / "_lobewright", zsh_completion(commands));
    write_file(folder / "lobewright.fish", fish_completion(commands));
    return Exit::fit;
}

}  // namespace

void setup_manual(CLI::App& app, Action& action) {
    auto folder = std::make_shared<std::string>();
    CLI::App* command = app.add_subcommand("manual", "Write man pages and shell completions");
    command->add_option("FOLDER", *folder, "where to")->type_name("FOLDER")->required();
    command->group("");
    command->callback([folder, &app, &action] {
        action = [folder, commands = command_texts(app)] { return write_manual(*folder, commands); };
    });
}

}  // namespace lobewright
