// `lobewright regrind` as its user sees it.
#include <fstream>
#include <sstream>

#include <catch2/catch.hpp>

#include "tests/cli/json_answer.hpp"
#include "tests/cli/program.hpp"
#include "tests/cli/refusals.hpp"

using namespace lobewright::tests;

namespace {

const std::string wiped = sample("launch-4-used-wiped"), fresh = sample("launch-4-new");

/// The one object that a command prints of a cam that isn't fit.
Json answer(const std::vector<std::string>& arguments) {
    const Finished finished = run_program(arguments);
    INFO(finished.err);
    REQUIRE(finished.status == 1);
    return Json::parse(finished.out);
}

}  // namespace

TEST_CASE("the first lines say verdict, reason and depth; the rest what to do", "[cli][regrind]") {
    const Finished done = run_program({"regrind", wiped, "--target", fresh});
    CHECK(done.status == 1);
    CHECK(done.err.empty());
    CHECK(done.out.substr(0, 9) == "REGRIND: ");
    CHECK(has(done.out, "mm off every lobe\nlobe 3E: needs the most stock, 0.47"));
    CHECK(has(done.out, "fit new or refaced tappets on every reground lobe"));
    CHECK(has(done.out, "pushrods as much longer"));
    CHECK(has(done.out, "must not go back, every reground lobe gets a new tappet: T1E of 1E"));
    CHECK(has(done.out, "lobe separation"));
    CHECK(longest_line(done.out) <= 80);
}

TEST_CASE("a sound cam: no regrind, exit status 0", "[cli][regrind]") {
    const Finished done = run_program({"regrind", sample("launch-4-used-nose"), "--target", fresh});
    CHECK(done.status == 0);
    CHECK(has(done.out, "FIT TO REUSE AS IT IS: no regrind needed"));
}

TEST_CASE("scrap comes with the figure that rules the regrind out", "[cli][regrind]") {
    const TempFolder folder;
    std::ofstream(folder / "limits.toml")
        << "format = \"lobewright-limits/1\"\nunits = \"mm\"\n[limits]\nleast_base_diameter = 27.5\n";
    const Finished done =
        run_program({"regrind", wiped, "--target", fresh, "--limits", folder / "limits.toml"});
    CHECK(done.status == 1);
    CHECK(has(done.out, "SCRAP: "));
    CHECK(has(done.out, "lobe 3E: base diameter left after a regrind 27.0"));
    CHECK(has(done.out, "the cam is scrap"));
    CHECK(longest_line(done.out) <= 80);
}

TEST_CASE("regrind's JSON: figures with u95, lengths in the units asked for", "[cli][regrind][json]") {
    const Json mm = answer({"regrind", wiped, "--target", fresh, "--json"});
    const Json in = answer({"regrind", wiped, "--target", fresh, "--json", "--units", "in"});
    CHECK(mm["format"] == "lobewright-regrind/1");
    CHECK(mm["verdict"] == "regrind");
    CHECK(mm["limited_by"] == "3E");
    CHECK(mm["lobes"].size() == 8);
    CHECK(mm["separations"].size() == 4);
    CHECK(mm["tappets"].size() == 8);
    for (const char* key : {"value", "u95"}) {
        CHECK(mm["stock"][key].get<double>() == Approx(25.4 * in["stock"][key].get<double>()));
        CHECK(mm["lobes"][4]["base_diameter_left"][key].get<double>() ==
              Approx(25.4 * in["lobes"][4]["base_diameter_left"][key].get<double>()));
    }
    // One truth, two commands: the wiped lobe's stock is compare's.
    const Json compared = answer({"compare", fresh, wiped, "--json"});
    CHECK(mm["stock"]["value"].get<double>() ==
          Approx(compared["cam"]["stock_to_clean"]["value"].get<double>()).margin(0.001));
}

TEST_CASE("the grinder's tables: a file a lobe, a row a degree or finer", "[cli][regrind]") {
    const TempFolder folder;
    CHECK(run_program({"regrind", wiped, "--target", fresh, "--table", folder / "grind"}).status == 1);
    std::istringstream text(text_of(folder / "grind/3E.csv"));
    std::string line;
    int rows = -1;
    bool named = false;
    while (std::getline(text, line)) {
        if (line.front() == '#') named = named || line == "# of: 3E";
        if (line.front() != '#') ++rows;
    }
    CHECK(named);
    CHECK(rows == 360);
    check_refusals({{"there already",
                     {"regrind", wiped, "--target", fresh, "--table", folder / "grind"},
                     74,
                     "say --overwrite"}});
    CHECK(run_program({"regrind", wiped, "--target", fresh, "--table", folder / "grind", "--overwrite",
                       "--step", "0.5"})
              .status == 1);
    CHECK(has(text_of(folder / "grind/3E.csv"), "\n0.500,"));
}

TEST_CASE("a library: this cam's own new run, ranked kind by kind", "[cli][regrind]") {
    const TempFolder folder;
    std::filesystem::create_directory(folder / "library");
    std::filesystem::copy(fresh, folder / "library/new", std::filesystem::copy_options::recursive);
    const Finished done = run_program({"regrind", wiped, "--target", folder / "library"});
    CHECK(done.status == 1);
    CHECK(has(done.out, "launch-4-new, lobe "));
    CHECK(longest_line(done.out) <= 80);
}

TEST_CASE("regrind refuses with one line that says what to give", "[cli][regrind]") {
    check_refusals({
        {"no target", {"regrind", wiped}, 64, "--target with the run of this cam when new"},
        {"no such target", {"regrind", wiped, "--target", "nowhere"}, 66, "nowhere"},
        {"no such run", {"regrind", "nowhere", "--target", fresh}, 66, "nowhere"},
        {"shift", {"regrind", wiped, "--target", fresh, "--shift", "-1"}, 64, "--shift"},
        {"taper", {"regrind", wiped, "--target", fresh, "--taper", "0"}, 64, "--taper"},
        {"step alone", {"regrind", wiped, "--target", fresh, "--step", "1"}, 64, "--table"},
        {"uneven step",
         {"regrind", wiped, "--target", fresh, "--table", "t", "--step", "0.7"},
         64,
         "even part"},
    });
}

TEST_CASE("compare says which tappet goes back where", "[cli][screen][tappets]") {
    const Finished done = run_program({"compare", fresh, wiped});
    CHECK(has(done.out, "Tappets\n- back on their lobes if these aren't ground: T1E on 1E"));
    CHECK(has(done.out, "- must not go back, its lobe isn't fit: T3E of 3E"));
    const Json json = answer({"compare", fresh, wiped, "--json"});
    CHECK(has(json["lobes"][4]["notes"].dump(), "tappet T3E must not go back: its lobe isn't fit"));
}
