// `lobewright report` and `--report`: whole pages or none, never over an old one without being told to, the exit statuses of
// docs/run-folder.md. What the pages show is held by the tests in tests/browser.
#include <filesystem>
#include <fstream>

#include <catch2/catch.hpp>

#include "tests/cli/program.hpp"
#include "tests/cli/refusals.hpp"
#include "tests/cli/small_run.hpp"

using namespace lobewright::tests;

TEST_CASE("a report is one file that asks for no other", "[cli][report]") {
    const TempFolder folder;
    const std::string page = folder / "cam.html";
    const Finished finished =
        run_program({"report", sample("launch-4-new"), sample("launch-4-used-nose"), "--to", page});
    CHECK(finished.status == 0);
    CHECK(has(finished.out, "FIT TO REUSE"));
    CHECK(has(finished.out, page));
    const std::string text = text_of(page);
    CHECK(has(text, "launch-4-used-nose"));
    for (const std::string part : {"src=\"http", "href=\"http", "src='http", "@import", "url(http"}) {
        INFO(part);
        CHECK_FALSE(has(text, part));
    }
    CHECK(text.size() < 3'000'000);
    CHECK_FALSE(std::filesystem::exists(page + ".part"));
}

TEST_CASE("a verdict's command writes its report beside what it prints, and ends as without",
          "[cli][report]") {
    const TempFolder folder;
    const std::string page = folder / "cam.html";
    const std::vector<std::string> words{"compare", sample("launch-4-new"), sample("launch-4-used-wiped"),
                                         "--json"};
    const Finished plain = run_program(words);
    auto with_page = words;
    with_page.insert(with_page.end(), {"--report", page});
    const Finished finished = run_program(with_page);
    CHECK(finished.status == 1);
    CHECK(finished.out == plain.out);
    CHECK(has(text_of(page), "NOT FIT, REGRIND"));
}

TEST_CASE("a report is replaced only when told to", "[cli][report]") {
    const TempFolder folder;
    const std::string page = folder / "cam.html";
    std::ofstream(page) << "kept\n";
    check_refusals(
        {{"a page is there", {"report", sample("launch-4-new"), "--to", page}, 74, "is there already"},
         {"regrind",
          {"regrind", sample("launch-4-used-wiped"), "--target", sample("launch-4-new"), "--report", page},
          74,
          "is there already"},
         {"card", {"card", sample("launch-4-new"), "--report", page}, 74, "is there already"}});
    CHECK(text_of(page) == "kept\n");
    CHECK(run_program({"card", sample("launch-4-new"), "--report", page, "--overwrite"}).status == 0);
    CHECK(has(text_of(page), "Card of launch-4-new"));
}

TEST_CASE("what a report can't be made of or written to is said in one line", "[cli][report]") {
    const TempFolder folder;
    check_refusals({
        {"no run", {"report"}, 64, "RUN"},
        {"no such run", {"report", folder / "none"}, 66, "none"},
        {"no such reference", {"report", folder / "none", sample("launch-4-new")}, 66, "none"},
        {"no folder to write to",
         {"report", sample("launch-4-new"), "--to", folder / "no/cam.html"},
         74,
         "cam.html"},
        {"figures over a file",
         {"report", sample("launch-4-new"), "--to", folder / "a.html", "--figures", sample("README.md")},
         74,
         "README.md"},
        {"overwrite what?",
         {"compare", sample("launch-4-new"), sample("launch-4-new"), "--overwrite"},
         64,
         "--overwrite"},
        {"a page for nobody",
         {"sweep", folder / "run", "--port", "none", "--page-port", "4000"},
         64,
         "--page"},
    });
    CHECK_FALSE(std::filesystem::exists(folder / "a.html"));
}

TEST_CASE("a page takes no device's place", "[cli][report]") {
    check_refusals({{"a device",
                     {"report", sample("launch-4-new"), "--to", "/dev/null", "--overwrite"},
                     74,
                     "isn't a file"}});
    CHECK(std::filesystem::is_character_file("/dev/null"));
}
