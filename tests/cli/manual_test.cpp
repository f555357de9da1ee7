// Man pages and completions: they say what --help says.
#include <algorithm>
#include <filesystem>
#include <sstream>

#include <catch2/catch.hpp>

#include "tests/cli/program.hpp"

using namespace lobewright::tests;
namespace fs = std::filesystem;

namespace {

std::string written(const TempFolder& folder) {
    std::string to = folder / "manual";
    REQUIRE(run_program({"manual", to}).status == 0);
    return to;
}

/// Names of commands, from the overview.
std::vector<std::string> commands() {
    std::istringstream help(run_program({"--help"}).out);
    std::vector<std::string> out;
    std::string line;
    while (std::getline(help, line) && line != "Commands:") {
    }
    while (std::getline(help, line) && !line.empty()) out.push_back(line.substr(2, line.find(' ', 2) - 2));
    return out;
}

/// Long options that a command's help lists at the beginning of a line.
std::vector<std::string> options_of(const std::string& help) {
    std::istringstream lines(help);
    std::vector<std::string> out;
    for (std::string line; std::getline(lines, line);) {
        if (line.rfind("  -", 0) != 0) continue;
        const std::size_t from = line.find("--");
        out.push_back(line.substr(from, line.find(' ', from) - from));
    }
    return out;
}

/// A page's text as a reader sees it.
std::string read_page(const fs::path& page) {
    const std::string text = text_of(page);
    std::string out;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const bool escaped = text[i] == '\\' && i + 1 < text.size();
        if (escaped) ++i;
        if (escaped && text[i] == '&') continue;
        out += escaped && text[i] == 'e' ? '\\' : text[i];
    }
    return out;
}

/// What bash offers for the last of these words.
std::string offered(const std::string& script, const std::string& words, int last) {
    const TempFolder folder;
    const std::string command = "bash -c 'source " + script + "; cd " + LOBEWRIGHT_SOURCE_DIR +
                                "; COMP_WORDS=(" + words + "); COMP_CWORD=" + std::to_string(last) +
                                "; _lobewright; echo \" ${COMPREPLY[*]} \"' >" + folder / "offered";
    REQUIRE(std::system(command.c_str()) == 0);
    return text_of(folder / "offered");
}

}  // namespace

TEST_CASE("every command has a man page with every option of its help", "[cli]") {
    const TempFolder folder;
    const fs::path pages = fs::path(written(folder)) / "man1";
    const auto names = commands();
    CHECK(names.size() >= 19);
    CHECK(std::distance(fs::directory_iterator(pages), {}) == static_cast<std::ptrdiff_t>(names.size()) + 1);
    const std::string whole = read_page(pages / "lobewright.1");
    for (const std::string& name : names) {
        INFO(name);
        CHECK(has(whole, "lobewright-" + name + " (1)"));
        const std::string page = read_page(pages / ("lobewright-" + name + ".1"));
        for (const char* head :
             {".TH ", ".SH NAME\n", ".SH SYNOPSIS\n", ".SH EXAMPLES\n", ".SH EXIT STATUS\n0 "})
            CHECK(has(page, head));
        const std::string help = run_program({name, "--help"}).out;
        const auto options = options_of(help);
        CHECK(options.size() >= 2);
        for (const std::string& option : options) CHECK(has(page, option));
        // An example's line stands in both.
        const std::size_t example = help.find("\n  lobewright ") + 1;
        CHECK(has(page, help.substr(example, help.find('\n', example) - example)));
    }
}

TEST_CASE("bash completes commands, options, choices and folders", "[cli]") {
    const TempFolder folder;
    const std::string script = written(folder) + "/lobewright.bash";
    CHECK(offered(script, "lobewright com", 1) == " compare \n");
    CHECK(offered(script, "lobewright compare --cu", 2) == " --curves --curve-points \n");
    CHECK(offered(script, "lobewright inspect a --units \"\"", 4) == " mm in \n");
    CHECK(offered(script, "lobewright inspect sample_runs/hand-4-n", 2) == " sample_runs/hand-4-new \n");
    CHECK(offered(script, "lobewright compare --limits READ", 3) == " README.md \n");
    CHECK(offered(script, "lobewright compare --lobe READ", 3) == "  \n");
}

TEST_CASE("every option is in the completions of zsh and fish", "[cli]") {
    const TempFolder folder;
    const std::string to = written(folder), zsh = text_of(to + "/_lobewright"),
                      fish = text_of(to + "/lobewright.fish");
    for (const std::string& name : commands()) {
        INFO(name);
        CHECK(has(zsh, "\n    " + name + ")\n"));
        for (const std::string& option : options_of(run_program({name, "--help"}).out)) {
            CHECK(has(zsh, option + "["));
            CHECK(has(fish, "-n '__fish_seen_subcommand_from " + name + "'"));
            CHECK(has(fish, " -l " + option.substr(2) + " "));
        }
    }
}

TEST_CASE("a manual that can't be written is one line", "[cli]") {
    const TempFolder folder;
    std::ofstream(folder / "file") << "x";
    const Finished finished = run_program({"manual", folder / "file"});
    CHECK(finished.status == 74);
    CHECK(std::count(finished.err.begin(), finished.err.end(), '\n') == 1);
}
