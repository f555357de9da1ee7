// Which runs a study judges, and against what.
#include "analysis/study/study_plan.hpp"

#include <filesystem>
#include <fstream>

#include <catch2/catch.hpp>

#include "tests/cli/small_run.hpp"
#include "tests/temp_folder.hpp"

using namespace lobewright;
using namespace lobewright::tests;
namespace fs = std::filesystem;

namespace {

void run_at(const fs::path& folder, const std::string& condition) {
    SmallRun run;
    run.condition = condition;
    write_small_run(folder, run);
}

/// "used <- new", names without the folder above.
std::vector<std::string> pairs_in(const fs::path& folder) {
    auto items = find_runs({folder});
    pair_runs(items, 1);
    std::vector<std::string> out;
    for (const StudyItem& item : items) {
        std::string text = item.path.lexically_relative(folder).string();
        if (!item.reference.empty()) text += " <- " + item.reference.lexically_relative(folder).string();
        if (item.failure) text += " !";
        out.push_back(text);
    }
    return out;
}

}  // namespace

TEST_CASE("a cam's folder holds its new run and the used ones", "[study]") {
    const TempFolder folder;
    run_at(folder / "a/2019-05-01", "new");
    run_at(folder / "a/2024-05-01", "used");
    run_at(folder / "b/deep/down/first", "before");
    run_at(folder / "b/deep/down/second", "after");
    run_at(folder / "c/only", "used");
    run_at(folder / ".hidden/run", "used");
    CHECK(pairs_in(folder.path()) ==
          std::vector<std::string>{"a/2019-05-01", "a/2024-05-01 <- a/2019-05-01", "b/deep/down/first",
                                   "b/deep/down/second <- b/deep/down/first", "c/only"});
}

TEST_CASE("in a folder of many cams names keep them apart", "[study]") {
    const TempFolder folder;
    for (const char* cam : {"a", "ab", "c"}) run_at(folder / (std::string(cam) + "-new"), "new");
    run_at(folder / "a-used-2", "used");
    run_at(folder / "ab-used", "used");
    run_at(folder / "ab-after", "after");  // no `before` stands there
    run_at(folder / "d-used", "used");
    CHECK(pairs_in(folder.path()) == std::vector<std::string>{"a-new", "a-used-2 <- a-new",
                                                              "ab-after <- ab-new", "ab-new",
                                                              "ab-used <- ab-new", "c-new", "d-used"});
}

TEST_CASE("two references that fit are never guessed between", "[study]") {
    const TempFolder folder;
    run_at(folder / "one", "new");
    run_at(folder / "two", "new");
    run_at(folder / "worn", "used");
    auto items = find_runs({folder.path()});
    pair_runs(items, 1);
    REQUIRE(items.size() == 3);
    REQUIRE(items[2].failure);
    CHECK(items[2].failure->exit() == Exit::data);
    CHECK(std::string(items[2].failure->what()).find("could both be its reference") != std::string::npos);
}

TEST_CASE("another part or other lobes are no reference", "[study]") {
    const TempFolder folder;
    run_at(folder / "new", "new");
    run_at(folder / "used", "used");
    std::string text;
    {
        std::ifstream in(folder / "new/run.toml");
        text.assign(std::istreambuf_iterator<char>(in), {});
    }
    SECTION("part") {
        const auto with_part = [&](const std::string& name, const std::string& part) {
            std::ifstream in(folder / (name + "/run.toml"));
            std::string said((std::istreambuf_iterator<char>(in)), {});
            in.close();
            said.insert(said.find("[cam]\n") + 6, "part = \"" + part + "\"\n");
            std::ofstream(folder / (name + "/run.toml")) << said;
        };
        with_part("new", "P1");
        CHECK(pairs_in(folder.path())[1] == "used <- new");  // one of them doesn't say
        with_part("used", "P2");
        CHECK(pairs_in(folder.path())[1] == "used");
    }
    SECTION("lobes") {
        text.replace(text.find("\"1E\""), 4, "\"9E\"");
        std::ofstream(folder / "new/run.toml") << text;
        CHECK(pairs_in(folder.path())[1] == "used");
    }
}

TEST_CASE("links to folders are not followed, links to runs count", "[study]") {
    const TempFolder folder, elsewhere;
    run_at(folder / "cam/used", "used");
    run_at(elsewhere / "run", "used");
    fs::create_directory_symlink(folder.path(), folder / "cam/up");
    fs::create_directory_symlink(elsewhere.path(), folder / "cam/elsewhere");
    fs::create_directory_symlink(elsewhere / "run", folder / "cam/linked");
    CHECK(pairs_in(folder.path()) == std::vector<std::string>{"cam/linked", "cam/used"});
}

TEST_CASE("a list holds runs and pairs", "[study]") {
    const auto items = listed_runs("a b\r\n\nnew\tused\n/x/y", "list");
    REQUIRE(items.size() == 3);
    CHECK(items[0].path == "a b");
    CHECK(items[1].path == "used");
    CHECK(items[1].reference == "new");
    CHECK(items[2].path == "/x/y");
    for (const char* bad : {"a\n\tb\n", "a\nb\t\n", "a\nb\tc\td\n"}) {
        CHECK_THROWS_WITH(listed_runs(bad, "list"), Catch::Contains("list:2: "));
    }
}
