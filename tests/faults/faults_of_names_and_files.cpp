// Names that would break a line, a terminal, a page or a command; and what isn't a file where one should be.
#include <sys/stat.h>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "tests/faults/program_faults.hpp"

namespace lobewright::tests {
namespace {

namespace fs = std::filesystem;

const std::string breaking = "a\nb\x1b[31m<b>\"q'&";
const std::string broken =
    "c\x9b"
    "31m\xff\xc2\x9b\xe2\x80\xae"
    "x";

ProgramFault named(const std::string& done, const std::string& name, std::vector<std::string> words,
                   int status, const std::string& says, const std::string& left = "as before") {
    return {.done = done,
            .call = {.words = std::move(words)},
            .status = status,
            .says = says,
            .left = left,
            .prepare = [name](Scene& scene) {
                fs::rename(scene.folder / "used", fs::path(scene.folder / name));
            }};
}

std::string json_in(Scene&, const Ended& ended) {
    return nlohmann::json::accept(ended.out) ? "" : "what is said isn't JSON";
}

/// A lobe of that name in both runs, as TOML writes it.
void name_lobe(Scene& scene, const std::string& in_toml, const std::string& in_csv) {
    for (const char* run : {"new", "used"}) {
        const fs::path file = fs::path(scene.folder / run) / "run.toml",
                       sweep = fs::path(scene.folder / run) / "sweeps/a.csv";
        for (const auto& [at, name, as] : {std::tuple{file, std::string("\"1E\""), "\"" + in_toml + "\""},
                                           std::tuple{sweep, std::string("# of: 1E"), "# of: " + in_csv}}) {
            std::string text = text_of(at);
            text.replace(text.find(name), name.size(), as);
            std::ofstream(at, std::ios::binary) << text;
        }
    }
}

ProgramFault lobe_named(const std::string& done, const std::string& name, const std::string& in_toml,
                        std::vector<std::string> words, int status, const std::string& left = "as before") {
    return {.done = done,
            .call = {.words = std::move(words)},
            .status = status,
            .says = "",
            .left = left,
            .prepare = [name, in_toml](Scene& scene) { name_lobe(scene, in_toml, name); }};
}

std::vector<ProgramFault> of_names() {
    const std::string longest(255, 'n');
    ProgramFault line = named("a run folder's name of a line break, an escape sequence, quotes, a tag",
                              breaking, {"inspect", breaking + "/none"}, 66, "no such run folder");
    ProgramFault json = named("the same", breaking, {"compare", "new", breaking, "--json"}, 1, "");
    json.wrong = json_in;
    ProgramFault study = named("the same", breaking, {"study", "."}, 0, "2 of 2 runs");
    ProgramFault page = lobe_named("a lobe named by a tag", "</script><script>alert(1)</script>",
                                   "</script><script>alert(1)</script>",
                                   {"report", "new", "used", "--to", "page.html"}, 0, "page.html new");
    page.wrong = [](Scene& scene, const Ended&) {
        return has(text_of(scene.folder / "page.html"), "<script>alert(1)") ? "the tag is in the page" : "";
    };
    ProgramFault svg = page;
    svg.call.words = {"report", "new", "used", "--to", "page.html", "--figures", "svg"};
    svg.left = "page.html new, svg new";
    svg.wrong = [](Scene& scene, const Ended&) {
        for (const auto& entry : fs::directory_iterator(scene.folder / "svg"))
            if (has(text_of(entry.path()), "<script>alert(1)")) return "the tag is in a chart";
        return "";
    };
    ProgramFault shown = lobe_named("a lobe named by an eight-bit escape sequence",
                                    "\xc2\x9b"
                                    "31m",
                                    "\\u009b31m", {"compare", "new", "used"}, 1);
    ProgramFault shown_json = shown;
    shown_json.call.words.push_back("--json");
    shown_json.wrong = json_in;
    ProgramFault dots = lobe_named("a lobe named ../../x", "../../x", "../../x",
                                   {"compare", "new", "used", "--csv", "curves"}, 1, "curves new");
    return {line,
            json,
            study,
            named("a run folder's name that isn't UTF-8", broken, {"inspect", broken + "/none"}, 66,
                  "c?31m???x/none: no such run folder"),
            named("the same", broken, {"study", ".", "--out", "a.ndjson"}, 65, "2 of 2 runs, 1 not judged",
                  "a.ndjson new"),
            named("a run folder's name that begins with a dash", "-used", {"compare", "new", "--", "-used"},
                  1, ""),
            named("the same, for an option", "-used", {"compare", "new", "-used"}, 64, "USED is required"),
            named("a run folder's name of 255 bytes", longest, {"compare", "new", longest}, 1, ""),
            named("the same, for a page's name too", longest, {"report", longest}, 74, "File name too long"),
            {.done = "a command that isn't one, with an escape sequence",
             .call = {.words = {"in\x1b[31m\nspect"}},
             .status = 64,
             .says = "in?[31m spect"},
            page,
            svg,
            shown,
            shown_json,
            dots};
}

/// `made` where the sweep or the run.toml of `new` was.
ProgramFault instead(const std::string& done, const std::string& of, int status, const std::string& says,
                     const std::function<void(const fs::path&)>& make) {
    return {.done = fmt::format("{} as {}", done, of),
            .call = {.words = {"inspect", "new"}},
            .status = status,
            .says = says,
            .prepare = [of, make](Scene& scene) {
                fs::remove(scene.folder / of);
                make(scene.folder / of);
            }};
}

void huge_file(const fs::path& file) {
    std::ofstream(file).close();
    fs::resize_file(file, std::uintmax_t{1} << 31U);
}

void pipe_file(const fs::path& file) {
    if (::mkfifo(file.c_str(), 0600) != 0) throw std::runtime_error("no pipe");
}

void zero_file(const fs::path& file) {
    fs::create_symlink("/dev/zero", file);
}

ProgramFault given(const std::string& done, const std::vector<std::string>& words, int status,
                   const std::string& says, const std::function<void(const fs::path&)>& make = {}) {
    return {.done = done,
            .call = {.words = words},
            .status = status,
            .says = says,
            .prepare = [make](Scene& scene) {
                if (make) make(scene.folder / "x");
            }};
}

std::vector<ProgramFault> of_files() {
    const char *csv = "new/sweeps/a.csv", *toml = "new/run.toml";
    return {
        instead("2 GB", csv, 65, "a.csv: 2147483648 bytes, more than", huge_file),
        instead("2 GB", toml, 65, "run.toml: 2147483648 bytes, more than", huge_file),
        instead("a pipe that nobody fills", csv, 74, "isn't a plain file", pipe_file),
        instead("a pipe that nobody fills", toml, 74, "isn't a plain file", pipe_file),
        instead("/dev/zero", csv, 74, "isn't a plain file", zero_file),
        instead("/dev/zero", toml, 74, "isn't a plain file", zero_file),
        instead("a folder", toml, 74, "is a folder where a file should be",
                [](const fs::path& file) { fs::create_directory(file); }),
        given("2 GB", {"inspect", "new", "--limits", "x"}, 65, "bytes, more than", huge_file),
        given("2 GB", {"study", "--list", "x"}, 65, "bytes, more than", huge_file),
        given("2 GB", {"study", "--summary", "x"}, 65, "x:1: isn't a line of a study", huge_file),
        given("2 GB", {"study", ".", "--out", "x", "--resume"}, 65, "x:1: isn't a line of a study",
              huge_file),
        given("2 GB", {"replay", "x"}, 65, "x: not a capture", huge_file),
        given("2 GB", {"virtual-rig", "--script", "x"}, 65, "bytes, more than", huge_file),
        given("a pipe that nobody fills", {"inspect", "new", "--limits", "x"}, 74, "isn't a plain file",
              pipe_file),
        given("a pipe that nobody fills", {"study", "--summary", "x"}, 74, "isn't a plain file", pipe_file),
        given("a pipe that nobody fills", {"replay", "x"}, 74, "isn't a plain file", pipe_file),
        given("a pipe that nobody fills", {"sweep", "new", "--rig", "x"}, 74, "isn't a plain file",
              pipe_file),
        given("a pipe that nobody fills", {"virtual-rig", "--script", "x"}, 74, "isn't a plain file",
              pipe_file),
        given("/dev/zero", {"study", "--summary", "/dev/zero"}, 74, "isn't a plain file"),
        given("/dev/zero", {"virtual-rig", "--script", "/dev/zero"}, 74, "isn't a plain file"),
        given("/dev/zero", {"rig-check", "--capture", "/dev/zero"}, 74, "isn't a plain file"),
        given("a folder", {"virtual-rig", "--script", "new"}, 74, "is a folder where a file should be"),
        given("a folder", {"study", "--summary", "new"}, 74, "isn't a plain file"),
    };
}

}  // namespace

std::vector<FaultGroup> faults_of_names_and_files() {
    return {{"Hostile names", of_names()}, {"Huge files, and what isn't a file", of_files()}};
}

}  // namespace lobewright::tests
