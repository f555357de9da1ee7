// `lobewright study`: what a shell sees.
#include <filesystem>
#include <fstream>
#include <map>
#include <sstream>

#include <fmt/format.h>

#include "tests/cli/json_answer.hpp"
#include "tests/cli/refusals.hpp"
#include "tests/cli/small_run.hpp"
#include "tests/cli/started_program.hpp"

using namespace lobewright::tests;
namespace fs = std::filesystem;

namespace {

/// The lines by path.
std::map<std::string, Json> lines_of(const std::string& text) {
    std::map<std::string, Json> out;
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);) {
        const Json json = Json::parse(line);
        CHECK(keys_of(json) == std::vector<std::string>{"format", "path", "reference", "exit", "verdict",
                                                        "error", "seconds", "cam", "result"});
        CHECK(out.emplace(json["path"], json).second);
    }
    return out;
}

/// Three cams: a good pair, a worn pair, one whose new run is missing; and what can't be judged.
void write_cams(const TempFolder& folder) {
    write_small_run(folder / "good/new", {});
    SmallRun used;
    used.id = "cam-used";
    used.condition = "used";
    write_small_run(folder / "good/used", used);
    write_small_run(folder / "worn/new", {});
    write_small_run(folder / "worn/used", worn());
    write_small_run(folder / "lone/used", worn());
    write_small_run(folder / "torn/used", used);
    std::ofstream(folder / "torn/used/sweeps/b.csv", std::ios::app) << "12,x,0.0\n";
    write_small_run(folder / "bare/used", used);
    fs::remove_all(folder / "bare/used/sweeps");
}

}  // namespace

TEST_CASE("a study has a line a run, and each is what compare or inspect say", "[cli][study]") {
    const TempFolder folder;
    write_cams(folder);
    const Finished finished = run_program({"study", folder.path().string()});
    CHECK(finished.status == 66);  // the highest among those that can't be judged
    CHECK(has(finished.err, "7 of 7 runs, 2 not judged"));
    const auto lines = lines_of(finished.out);
    REQUIRE(lines.size() == 7);
    const Json& worn_line = lines.at(folder / "worn/used");
    CHECK(worn_line["reference"] == folder / "worn/new");
    CHECK(worn_line["exit"] == 1);
    CHECK(worn_line["verdict"] == "regrind");
    CHECK(worn_line["error"].is_null());
    CHECK(worn_line["seconds"].get<double>() > 0.0);
    CHECK(worn_line["cam"]["lobe_z"] == Json({30.0, 52.0}));
    CHECK(worn_line["result"] ==
          Json::parse(run_program({"compare", folder / "worn/new", folder / "worn/used", "--json"}).out));
    const Json& lone = lines.at(folder / "lone/used");
    CHECK(lone["reference"].is_null());
    CHECK(lone["result"] == Json::parse(run_program({"inspect", folder / "lone/used", "--json"}).out));
    CHECK(lines.at(folder / "good/used")["exit"] == 0);
    const Json& torn = lines.at(folder / "torn/used");
    CHECK(torn["exit"] == 65);
    CHECK(torn["verdict"].is_null());
    CHECK(torn["result"].is_null());
    CHECK(has(torn["error"], "b.csv:364"));
    CHECK(lines.at(folder / "bare/used")["exit"] == 66);
}

TEST_CASE("a study of the samples is the same by list, by plan and by folder", "[cli][study][samples]") {
    const Finished by_folder = run_program({"study", sample("")});
    CHECK(by_folder.status == 0);  // all were judged, whatever the verdicts
    const TempFolder folder;
    const Finished plan = run_program({"study", sample(""), "--plan"});
    CHECK(has(plan.out, sample("launch-4-new") + "\t" + sample("launch-4-used-wiped") + "\n"));
    std::ofstream(folder / "list") << plan.out;
    const Finished by_list = run_program({"study", "--list", folder / "list", "--threads", "3"});
    auto a = lines_of(by_folder.out), b = lines_of(by_list.out);
    for (auto* lines : {&a, &b}) {
        for (auto& [path, line] : *lines) line.erase("seconds");
    }
    CHECK(a == b);
    CHECK(a.size() == 9);
}

TEST_CASE("a study that was cut off is carried on", "[cli][study]") {
    const TempFolder folder;
    write_cams(folder);
    const std::string out = folder / "out.ndjson";
    REQUIRE(run_program({"study", folder.path().string(), "--out", out}).status == 66);
    const std::string whole = text_of(out);
    // Cut within the last line, as a power failure does.
    const std::size_t last = whole.rfind('\n', whole.size() - 2) + 1;
    fs::resize_file(out, last + 40);
    const Finished resumed = run_program({"study", folder.path().string(), "--out", out, "--resume"});
    CHECK(has(resumed.err, "its last line was cut off; dropped"));
    CHECK(has(resumed.err, "holds 6 of 7 runs already"));
    const std::string again = text_of(out);
    CHECK(again.substr(0, last) == whole.substr(0, last));
    CHECK(lines_of(again).size() == 7);
    // With nothing left to do it changes nothing; a run measured since is added.
    CHECK(run_program({"study", folder.path().string(), "--out", out, "--resume"}).status == 0);
    CHECK(text_of(out) == again);
    write_small_run(folder / "later/used", worn());
    CHECK(run_program({"study", folder.path().string(), "--out", out, "--resume"}).status == 0);
    CHECK(lines_of(text_of(out)).size() == 8);
}

TEST_CASE("a study is told to end and keeps what is done", "[cli][study]") {
    const TempFolder folder;
    std::ofstream list(folder / "list");
    for (int i = 0; i < 2000; ++i)
        list << sample("launch-4-new") << '\t' << sample("launch-4-used-wiped") << '\n';
    list.close();
    const std::string out = folder / "out.ndjson";
    StartedProgram program({"study", "--list", folder / "list", "--out", out});
    while (!fs::exists(out) || fs::file_size(out) == 0)
        REQUIRE_FALSE(program.ends_within(std::chrono::seconds(0)));
    CHECK(program.end(SIGINT) == 2);
    CHECK(has(program.said(), "ended early"));
    const std::string text = text_of(out);
    CHECK(text.back() == '\n');
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);) CHECK(Json::parse(line)["verdict"] == "regrind");
}

TEST_CASE("a study that was killed is carried on", "[cli][study]") {
    const TempFolder folder;
    write_small_run(folder / "run", worn());
    constexpr int runs = 300;
    fs::create_directory(folder / "cams");
    for (int i = 0; i < runs; ++i)
        fs::create_directory_symlink(folder / "run", folder / fmt::format("cams/{}", i));
    const std::string out = folder / "out.ndjson";
    StartedProgram program({"study", folder / "cams", "--out", out});
    while (!fs::exists(out) || fs::file_size(out) == 0)
        REQUIRE_FALSE(program.ends_within(std::chrono::seconds(0)));
    CHECK(program.end(SIGKILL) == -SIGKILL);
    CHECK(run_program({"study", folder / "cams", "--out", out, "--resume"}).status == 0);
    CHECK(lines_of(text_of(out)).size() == runs);
}

TEST_CASE("whatever a folder is called, its line is one line", "[cli][study]") {
    const TempFolder folder;
    const std::vector<std::string> names{"-x", "a b", "new\nline", "quo\"te\\", "\x1b[31m", "\xce\xb1"};
    for (const std::string& name : names) write_small_run(folder / name, {});
    write_small_run(folder / "latin-\xe9", {});
    const Finished finished = run_program({"study", folder.path().string()});
    CHECK(finished.status == 65);  // a name that JSON can't hold
    const auto lines = lines_of(finished.out);
    CHECK(lines.size() == names.size() + 1);
    for (const std::string& name : names) CHECK(lines.at(folder / name)["error"].is_null());
    CHECK(has(lines.at(folder / "latin-\xef\xbf\xbd")["error"], "isn't UTF-8; rename"));
    check_refusals(
        {{"a list of them", {"study", folder.path().string(), "--plan"}, 65, "rename the folder"}});
}

TEST_CASE("a study's summary by part, hours and place", "[cli][study][samples]") {
    const TempFolder folder;
    const std::string out = folder / "out.ndjson";
    REQUIRE(run_program({"study", sample(""), "--out", out}).status == 0);
    const Finished text = run_program({"study", "--summary", out});
    CHECK(text.status == 0);
    CHECK(text.err.empty());
    CHECK(longest_line(text.out) <= 80);
    CHECK(has(text.out, "9 runs: 5 reuse, 2 remeasure, 2 regrind"));
    const Json json = json_of({"study", "--summary", out, "--json"});
    CHECK(json["format"] == "lobewright-study-summary/1");
    CHECK(json["parts"].size() == 4);
    // The wiped lobe's own figure, from its line.
    const Json wiped = lines_of(text_of(out)).at(sample("launch-4-used-wiped"));
    CHECK(json["most_worn"][0]["nose_wear"].get<double>() ==
          Approx(wiped["result"]["lobes"][4]["wear"]["nose_depth"]["value"].get<double>()));
    const Json inches = json_of({"study", "--summary", out, "--json", "--units", "in"});
    CHECK(inches["most_worn"][0]["nose_wear"].get<double>() * 25.4 ==
          Approx(json["most_worn"][0]["nose_wear"].get<double>()));
    CHECK(run_program({"study", "--summary", out, "--report", folder / "page.html"}).status == 0);
    CHECK(has(text_of(folder / "page.html"), "lobewright-study-summary/1"));
    // A shard that was cut off counts for its whole lines.
    fs::resize_file(out, fs::file_size(out) - 100);
    const Finished cut = run_program({"study", "--summary", out});
    CHECK(cut.status == 0);
    CHECK(has(cut.err, "its last line was cut off"));
    CHECK(has(cut.out, "8 runs: "));
}

TEST_CASE("a study that can't be is refused in one line", "[cli][study]") {
    const TempFolder folder;
    fs::create_directory(folder / "empty");
    std::ofstream(folder / "other") << "{}\n";
    std::ofstream(folder / "list") << "a\tb\tc\n";
    write_small_run(folder / "run", {});
    check_refusals({
        {"nothing", {"study"}, 64, "FOLDER is required"},
        {"no such folder", {"study", folder / "nowhere"}, 66, "no such folder"},
        {"no runs", {"study", folder / "empty"}, 66, "no run"},
        {"no such list", {"study", "--list", folder / "nowhere"}, 66, "nowhere"},
        {"bad list", {"study", "--list", folder / "list"}, 65, "list:1"},
        {"both", {"study", folder / "run", "--list", folder / "list"}, 64, "not both"},
        {"resume what", {"study", folder / "run", "--resume"}, 64, "--out"},
        {"json of lines", {"study", folder / "run", "--json"}, 64, "--summary"},
        {"there already", {"study", folder / "run", "--out", folder / "other"}, 74, "--resume carries it on"},
        {"not a study", {"study", folder / "run", "--out", folder / "other", "--resume"}, 65, "other:1"},
        {"no room to write",
         {"study", folder / "run", "--out", folder / "nowhere/out"},
         74,
         "can't be written"},
        {"a device", {"study", folder / "run", "--out", "/dev/full", "--resume"}, 74, "isn't a file"},
        {"summary of nothing", {"study", "--summary", folder / "nowhere"}, 66, "nowhere"},
        {"summary of something else", {"study", "--summary", folder / "other"}, 65, "other:1"},
    });
    CHECK(run_program({"study", folder / "run"}, "/dev/full").status == 74);
}
