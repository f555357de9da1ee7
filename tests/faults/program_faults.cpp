#include "tests/faults/program_faults.hpp"

#include <algorithm>
#include <cstring>
#include <map>
#include <regex>
#include <sstream>

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <nlohmann/json.hpp>

#include "analysis/run/message_text.hpp"
#include "tests/cli/small_run.hpp"

namespace lobewright::tests {
namespace {

namespace fs = std::filesystem;

/// What stands in a folder: by name a file's bytes, a link's end, or that it is a folder. A huge file by its size.
std::map<std::string, std::string> contents_of(const fs::path& folder) {
    constexpr std::uintmax_t huge = 1U << 26U;
    std::map<std::string, std::string> contents;
    for (const auto& entry : fs::recursive_directory_iterator(folder)) {
        const std::string name = entry.path().lexically_relative(folder).string();
        const fs::file_status status = entry.symlink_status();
        if (fs::is_symlink(status))
            contents[name] = "-> " + fs::read_symlink(entry.path()).string();
        else if (!fs::is_regular_file(status))
            contents[name] = "no file";
        else
            contents[name] = fs::file_size(entry.path()) > huge ? "huge" : text_of(entry.path());
    }
    return contents;
}

bool is_whole(const std::string& name, const std::string& text) {
    const fs::path file = name;
    if (has(file.filename().string(), ".part")) return false;
    if (file.extension() == ".html") return text.ends_with("</html>\n");
    if (file.extension() == ".svg") return text.ends_with("</svg>") || text.ends_with("</svg>\n");
    if (file.extension() != ".ndjson") return true;
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);)
        if (lines.eof() || !nlohmann::json::accept(line)) return false;
    return true;
}

/// What became of the folder, in words. Of a new folder the name alone is told.
std::string change(const std::map<std::string, std::string>& before,
                   const std::map<std::string, std::string>& after, std::string& wrong) {
    std::vector<std::string> changes;
    std::string last_new;
    for (const auto& [name, text] : after) {
        const auto old = before.find(name);
        if (old != before.end() && old->second == text) continue;
        if (!is_whole(name, text)) wrong += fmt::format("; {} isn't whole", as_shown(name));
        const bool inside = !last_new.empty() && name.starts_with(last_new + "/");
        if (inside) continue;
        if (old == before.end()) last_new = name;
        changes.push_back(as_shown(name) + (old == before.end() ? " new" : " replaced"));
    }
    for (const auto& [name, text] : before)
        if (after.count(name) == 0) changes.push_back(as_shown(name) + " gone");
    return changes.empty() ? "as before" : fmt::format("{}", fmt::join(changes, ", "));
}

std::string ended_as(const Ended& ended) {
    if (ended.hung) return "hangs";
    return ended.signal != 0 ? fmt::format("signal {}", ::strsignal(ended.signal))
                             : fmt::format("{}", ended.status);
}

/// What there is to complain about in what was said.
std::string complaint(const ProgramFault& fault, const Ended& ended) {
    std::string wrong;
    if (ended.hung || (ended.signal != 0 ? -ended.signal : ended.status) != fault.status)
        wrong += fmt::format("; ended with {}", ended_as(ended));
    if (!has(ended.err, fault.says)) wrong += "; doesn't say: " + fault.says;
    const bool must_say = !fault.says.empty() && fault.status >= 64;
    const auto lines = std::count(ended.err.begin(), ended.err.end(), '\n');
    if (must_say && (lines != 1 || !ended.err.starts_with("lobewright: "))) wrong += "; not one line";
    for (std::string said : {ended.out, ended.err}) {
        std::replace(said.begin(), said.end(), '\n', ' ');
        if (!is_plain_utf8(said)) wrong += "; control characters or bytes that aren't UTF-8 on the terminal";
    }
    return wrong;
}

/// Numbers that are others each time.
std::string steady(const std::string& said) {
    return std::regex_replace(std::regex_replace(said, std::regex("/dev/pts/[0-9]+"), "/dev/pts/N"),
                              std::regex("[.][0-9]+-0[.]part"), ".N-0.part");
}

void put_in(std::string& word, const std::string& name, const std::string& value) {
    const std::size_t at = word.find(name);
    if (at != std::string::npos) word.replace(at, name.size(), value);
}

Conditions in_scene(Conditions call, const Scene& scene) {
    for (auto* words : {&call.words, &call.environment})
        for (std::string& word : *words) put_in(word, "PORT", scene.beside / "rig");
    put_in(call.in, "BESIDE", scene.beside.path().string());
    return call;
}

std::string command_of(const Conditions& call) {
    std::string command;
    for (const std::string& word : call.words) command += (command.empty() ? "" : " ") + as_shown(word);
    constexpr std::size_t most_shown = 70;
    if (command.size() > most_shown) command = command.substr(0, most_shown) + "...";
    if (call.out == closed) command += " >&-";
    if (call.err == closed) command += " 2>&-";
    if (call.out == reader_gone) command += " \\| head -0";
    if (call.out.starts_with("/")) command += " > " + call.out;
    return command;
}

}  // namespace

std::string as_shown(const std::string& text) {
    std::string shown;
    for (const char c : text) {
        const auto byte = static_cast<unsigned char>(c);
        if (byte < 0x20 || byte >= 0x7f)
            shown += fmt::format("\\x{:02x}", byte);
        else if (c == '|' || c == '<' || c == '>' || c == '*' || c == '`')
            shown += std::string("\\") + c;
        else
            shown += c;
    }
    constexpr std::size_t most_shown = 140;
    return shown.size() > most_shown ? shown.substr(0, most_shown) + "..." : shown;
}

std::vector<std::string> sweep_words(const std::string& command) {
    std::vector<std::string> words{command, "run", "1E", "--port", "PORT", "--lobe", "1E,exhaust,40,12"};
    for (const char* setting : {"run.condition=new", "cam.follower=flat", "cam.retention=thrust-plate",
                                "rig.tip=flat", "rig.front_z=-4.0", "rig.rear_z=4.0"})
        words.insert(words.end(), {"--set", setting});
    return words;
}

void prepare_rig(Scene& scene, const std::string& script) {
    std::vector<std::string> words{"virtual-rig", "--place",           "1E", "--speed", "max",
                                   "--pty",       scene.beside / "rig"};
    if (!script.empty()) {
        std::ofstream(scene.beside / "script") << script;
        words.insert(words.end(), {"--script", scene.beside / "script"});
    }
    std::ofstream(scene.beside / "enter") << "\n";
    scene.rig = std::make_unique<StartedProgram>(words);
    if (!scene.rig->says("ready at"))
        throw std::runtime_error("the virtual rig doesn't start: " + scene.rig->said());
}

FaultRow try_program_fault(const ProgramFault& fault) {
    Scene scene;
    write_small_run(scene.folder / "new", {});
    write_small_run(scene.folder / "used", worn());
    fault.prepare(scene);
    FaultRow row;
    row.skipped = scene.skipped;
    if (!row.skipped.empty()) return row;
    const auto before = contents_of(scene.folder.path());
    const Ended ended = call_program(in_scene(fault.call, scene), scene.folder.path());
    row.skipped = ended.skipped;
    if (!row.skipped.empty()) return row;
    row.wrong = complaint(fault, ended);
    const std::string left = change(before, contents_of(scene.folder.path()), row.wrong);
    if (left != fault.left) row.wrong += "; left on the disk: " + left;
    const std::string more = fault.wrong(scene, ended);
    if (!more.empty()) row.wrong += "; " + more;
    if (!row.wrong.empty()) row.wrong = row.wrong.substr(2) + "\n" + ended.err;
    std::string said = ended.err.substr(0, ended.err.find('\n'));
    put_in(said, scene.beside.path().string(), "BESIDE");
    row.row = fmt::format("| {} | {} | {} | {} | {} |", fault.done, command_of(fault.call), ended_as(ended),
                          as_shown(steady(said)), left);
    return row;
}

std::vector<FaultGroup> program_faults() {
    std::vector<FaultGroup> all;
    for (const auto& some : {faults_of_memory_and_disk(), faults_of_folders_and_links(),
                             faults_of_names_and_files(), faults_of_time_and_place(), faults_of_ends()})
        all.insert(all.end(), some.begin(), some.end());
    return all;
}

}  // namespace lobewright::tests
