// The screen for the bench: the verdict first, 80 columns, plain when it isn't a terminal.
#include <algorithm>
#include <sstream>

#include <catch2/catch.hpp>

#include "tests/cli/program.hpp"
#include "tests/cli/small_run.hpp"

using namespace lobewright::tests;

namespace {

std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> lines;
    std::istringstream stream(text);
    for (std::string line; std::getline(stream, line);) lines.push_back(line);
    return lines;
}

bool has_line(const std::string& text, const std::string& start, const std::string& part) {
    for (const std::string& line : lines_of(text)) {
        if (line.rfind(start, 0) == 0 && line.find(part) != std::string::npos) return true;
    }
    return false;
}

void check_plain(const std::string& text) {
    for (const std::string& line : lines_of(text)) {
        INFO(line);
        CHECK(line.size() <= 80);
        CHECK((line.empty() || line.back() != ' '));
    }
    CHECK(text.find('\x1b') == std::string::npos);
}

}  // namespace

TEST_CASE("the first screen opens with the verdict and its reason, then a row a lobe", "[cli][screen]") {
    const TempFolder folder;
    write_small_run(folder / "new", {});
    write_small_run(folder / "used", worn());
    const std::string out = run_program({"compare", folder / "new", folder / "used"}).out;
    check_plain(out);
    const std::vector<std::string> lines = lines_of(out);
    REQUIRE(lines.size() > 12);
    CHECK(lines[0] == "NOT FIT, REGRIND: 1 of 2 lobes");
    CHECK(lines[1].rfind("lobe 1I: lift loss 0.4", 0) == 0);
    CHECK(has_line(out, "1E ", "  reuse    ramp taper 0.02"));
    CHECK(has_line(out, "1I ", "  regrind  lift loss 0.4"));
    CHECK(out.find("cam-used against cam-new; lengths in millimetres\n") != std::string::npos);
    CHECK(out.find("\nNext\n") != std::string::npos);
    CHECK(out.find("qualified machinist") != std::string::npos);
}

TEST_CASE("a fit cam says which tappet goes where, and what a pass is worth", "[cli][screen]") {
    const TempFolder folder;
    write_small_run(folder / "new", {});
    SmallRun used;
    used.condition = "used";
    write_small_run(folder / "used", used);
    const std::string out = run_program({"compare", folder / "new", folder / "used"}).out;
    check_plain(out);
    CHECK(out.rfind("FIT TO REUSE: 2 of 2 lobes\n", 0) == 0);
    CHECK(out.find("put each tappet back on its own lobe: T1E on 1E, T1I on 1I\n") != std::string::npos);
    CHECK(out.find("a measurement, not a") != std::string::npos);
}

TEST_CASE("inspect says that one run alone tells less", "[cli][screen]") {
    const TempFolder folder;
    write_small_run(folder / "new", {});
    const std::string out = run_program({"inspect", folder / "new"}).out;
    check_plain(out);
    CHECK(out.rfind("FIT TO REUSE, as far as one run alone tells: 2 of 2 lobes\n", 0) == 0);
    CHECK(out.find("no reference run: lift loss, wear and the stock") != std::string::npos);
}

TEST_CASE("without a datum the next step is a datum", "[cli][screen]") {
    const TempFolder folder;
    SmallRun run;
    run.datum = false;
    write_small_run(folder / "run", run);
    const std::string out = run_program({"inspect", folder / "run"}).out;
    check_plain(out);
    CHECK(out.rfind("CAN'T BE JUDGED YET, MEASURE AGAIN: 2 of 2 lobes\n", 0) == 0);
    CHECK(has_line(out, "1E ", "remeasure  ramp taper unknown"));
    CHECK(out.find("- set the front-to-rear zero") != std::string::npos);
}

TEST_CASE("the option --lobe shows that lobe's figures, rules and notes, in the order asked for",
          "[cli][screen]") {
    const TempFolder folder;
    write_small_run(folder / "new", {});
    write_small_run(folder / "used", worn());
    const std::string out =
        run_program({"compare", folder / "new", "--lobe", "1I", "--lobe", "1E", folder / "used"}).out;
    check_plain(out);
    const std::size_t first = out.find("\nLobe 1I (intake): regrind\n");
    const std::size_t second = out.find("\nLobe 1E (exhaust): reuse\n");
    REQUIRE(first != std::string::npos);
    REQUIRE(second != std::string::npos);
    CHECK(first < second);
    CHECK(has_line(out, "lift, loss ", "  mm"));
    CHECK(has_line(out, "wear, area ", "  mm x deg"));
    CHECK(has_line(out, "wear, volume ", "  mm3"));
    CHECK(has_line(out, "BAD   lift loss", "is over the limit of"));
    CHECK(has_line(out, "good  ", "ramp taper"));
}

TEST_CASE("inches fit the screen as well", "[cli][screen]") {
    const TempFolder folder;
    write_small_run(folder / "new", {});
    write_small_run(folder / "used", worn());
    const std::string out = run_program({"compare", folder / "new", folder / "used", "--units", "in"}).out;
    check_plain(out);
    CHECK(out.find("lengths in inches\n") != std::string::npos);
}

TEST_CASE("a compared cam shows its nose wear lobe by lobe, front of the cam first",
          "[cli][screen][samples]") {
    const std::string out =
        run_program({"compare", sample("launch-4-new"), sample("launch-4-used-wiped")}).out;
    check_plain(out);
    CHECK(has_line(out, "lobe ", "at the nose, front of the cam first"));
    CHECK(has_line(out, "3E ", std::string(48, '#')));  // the deepest fills the bar
    CHECK(run_program({"inspect", sample("launch-4-new")}).out.find("front of the cam") == std::string::npos);
}

TEST_CASE("after a failed run-in the next steps come before another one", "[cli][screen][samples]") {
    // Common practice, no source.
    const std::string out = run_program({"compare", sample("launch-4-before"), sample("launch-4-after")}).out;
    check_plain(out);
    const std::size_t next = out.find("\nNext\n- don't run it again as it is");
    REQUIRE(next != std::string::npos);
    CHECK(out.find("zinc", next) < out.find("\nNotes\n"));
    CHECK(out.find("change oil and filter", next) < out.find("\nNotes\n"));
}

TEST_CASE("a machinist who reads the first 24 lines knows verdict, reason and what to do next",
          "[cli][screen][samples]") {
    struct Row {
        std::vector<std::string> arguments;
        const char* verdict;
        const char* reason;
        const char* last_step;
    };
    const auto row = GENERATE(values<Row>(
        {{{"compare", sample("launch-4-new"), sample("launch-4-used-wiped")},
          "NOT FIT, REGRIND",
          "lobe 3E: ",
          "measure the ground cam before it goes in"},
         {{"compare", sample("launch-4-before"), sample("launch-4-after")},
          "NOT FIT, REGRIND",
          "lobe 2I: closing ramp taper",
          "plan the regrind"},
         {{"compare", sample("pump-6-new"), sample("pump-6-used")}, "FIT TO REUSE", "is within", "T6I on"},
         {{"inspect", sample("launch-4-used-wiped")},
          "NOT FIT, REGRIND",
          "the tappet won't turn",
          "measure the ground cam before it goes in"},
         {{"regrind", sample("launch-4-used-wiped"), "--target", sample("launch-4-new")},
          "REGRIND: ",
          "needs the most stock",
          "that run is its new reference"}}));
    const std::string out = run_program(row.arguments).out;
    CAPTURE(out);
    std::size_t end = 0;
    for (int line = 0; line < 24 && end != std::string::npos; ++line) end = out.find('\n', end + 1);
    const std::string first = out.substr(0, end);
    CHECK(first.rfind(row.verdict, 0) == 0);
    CHECK(first.find(row.reason) != std::string::npos);
    CHECK(first.find("\nNext\n") != std::string::npos);
    CHECK(first.find(row.last_step) != std::string::npos);
}

TEST_CASE("notes about sisters and about wear along the cam are in the unit asked for",
          "[cli][screen][samples]") {
    const auto out_of = [](std::vector<std::string> arguments, const char* units) {
        arguments.insert(arguments.end(), {"--units", units});
        std::string out = run_program(arguments).out;
        std::replace(out.begin(), out.end(), '\n', ' ');
        return out;
    };
    const std::vector<std::string> compared{"compare", sample("launch-4-new"), sample("launch-4-used-wiped")},
        inspected{"inspect", sample("launch-4-used-wiped")};
    CHECK(out_of(compared, "mm").find("3E wore 0.461 mm at the nose") != std::string::npos);
    CHECK(out_of(compared, "in").find("3E wore 0.01814 in at the nose") != std::string::npos);
    CHECK(out_of(inspected, "mm").find("0.448 mm") != std::string::npos);
    CHECK(out_of(inspected, "in").find("0.01763 in") != std::string::npos);
    CHECK(out_of(inspected, "in").find(" mm ") == std::string::npos);
}
