// `lobewright repeat` as its user and a program see it: screen, JSON, units, what is wanted, refusals.
#include <algorithm>
#include <cmath>

#include "analysis/run/run_folder.hpp"
#include "tests/analysis/repeat_runs.hpp"
#include "tests/cli/budget_pair.hpp"
#include "tests/cli/refusals.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

/// Writes the scene's runs into the folder; gives back the arguments that study them.
std::vector<std::string> written(const TempFolder& folder, const RepeatScene& scene) {
    std::vector<std::string> arguments{"repeat"};
    for (const Run& run : repeat_runs(scene).runs) {
        const std::string name = folder / run.info.id;
        write_run(run, name);
        arguments.push_back(name);
    }
    return arguments;
}

std::vector<std::string> with(std::vector<std::string> arguments, const std::vector<std::string>& more) {
    arguments.insert(arguments.end(), more.begin(), more.end());
    return arguments;
}

RepeatScene bench() {
    RepeatScene scene;
    scene.passes = {2, 2, 2, 2};
    scene.operators = {"A", "A", "B", "B"};
    scene.set_up_lift_mm = 0.0006;
    scene.pass_lift_mm = 0.0003;
    scene.error_limit_mm = 0.002;
    return scene;
}

}  // namespace

TEST_CASE("repeat says first what the bench can prove and what limits it", "[cli][repeat]") {
    const TempFolder folder;
    const auto arguments = written(folder, bench());
    const Finished finished = run_program(with(arguments, {"--want", "0.002"}));
    CHECK(finished.status == 0);
    CHECK(finished.err.empty());
    CHECK(finished.out.rfind("Smallest loss of lift this bench can prove: 0.00", 0) == 0);
    CHECK(has(finished.out, "\n  limited by the indicators' error limit of +/-0.002 mm ("));
    CHECK(has(finished.out, "Wanted: to prove a change of 0.002 mm\n- loss of lift: out of reach"));
    CHECK(has(finished.out, "operator to"));
    CHECK(has(finished.out, "4 runs by 2 operators, 2 lobes"));
    CHECK(has(finished.out, "\nrunout, front"));
    CHECK(longest_line(finished.out) <= 80);
    const Finished easy = run_program(with(arguments, {"--want", "0.5"}));
    CHECK(has(easy.out, "- loss of lift: with 1 pass in one set-up before, and as many after (0.00"));
}

TEST_CASE("repeat of one run says that set-ups are unknown", "[cli][repeat][samples]") {
    const Finished finished = run_program({"repeat", sample("launch-4-new")});
    CHECK(finished.status == 0);
    CHECK(has(finished.out, "at best (see the notes)"));
    CHECK(has(finished.out, "limited by the indicators' error limit of +/-0.001 mm"));
    CHECK(has(finished.out, "one run can't tell what setting the cam up again adds"));
    CHECK_FALSE(has(finished.out, "operator to"));
    CHECK(longest_line(finished.out) <= 80);
}

TEST_CASE("repeat without an error limit says that it isn't counted", "[cli][repeat]") {
    const TempFolder folder;
    const auto arguments = written(folder, bench());
    set_line(arguments[1], "error_limit", "");
    const Finished finished = run_program(arguments);
    CHECK(finished.status == 0);
    CHECK(has(finished.out, "at best (see the notes)"));
    CHECK(has(finished.out, "error_limit isn't given in made-0"));
}

TEST_CASE("repeat --json has the format's keys and every variance", "[cli][repeat][json]") {
    const TempFolder folder;
    const Json json = json_of(with(written(folder, bench()), {"--json", "--want", "0.002"}));
    CHECK(keys_of(json) ==
          std::vector<std::string>{"format", "units", "runs", "operators", "provable", "figures", "notes"});
    CHECK(json["format"] == "lobewright-repeat/1");
    CHECK(json["units"] == "mm");
    CHECK(json["operators"] == 2);
    REQUIRE(json["runs"].size() == 4);
    CHECK(json["runs"][2] == Json{{"id", "made-2"},
                                  {"condition", "new"},
                                  {"operator", "B"},
                                  {"passes", {{"least", 2}, {"most", 2}}}});
    std::vector<std::string> figures;
    for (const Json& figure : json["figures"]) {
        figures.push_back(figure["figure"]);
        CHECK(keys_of(figure) ==
              std::vector<std::string>{"figure", "unit", "between_runs", "pass", "set_up", "operator",
                                       "reproducibility", "repeatability_limit", "reproducibility_limit",
                                       "passes_in_set_up", "operators_in_set_up", "lobes"});
        CHECK(figure["set_up"].is_null() != figure["between_runs"].get<bool>());
        CHECK(figure["reproducibility_limit"].is_null() != figure["between_runs"].get<bool>());
        CHECK(figure["unit"] == (figure["figure"] == "nose_deg" ? "deg" : "mm"));
        const Json& pass = figure["pass"];
        CHECK(keys_of(pass) ==
              std::vector<std::string>{"deviation", "low", "high", "degrees_of_freedom", "set_to_zero"});
        CHECK(pass["low"] < pass["deviation"]);
        CHECK(pass["deviation"] < pass["high"]);
        CHECK(pass["degrees_of_freedom"] == 8.0);
        // ISO 5725-6: r is 2.8 times the deviation; 1.96 times the root of 2 before rounding.
        CHECK(figure["repeatability_limit"].get<double>() ==
              Approx(2.7718 * pass["deviation"].get<double>()).epsilon(1e-4));
        CHECK(figure["lobes"].size() == 2);
    }
    CHECK(figures == std::vector<std::string>{"lift.used", "taper.base", "taper.opening", "taper.nose",
                                              "taper.closing", "wear.nose_radius.used",
                                              "base_circle.runout.front", "base_circle.runout.rear",
                                              "base_circle.eccentricity", "nose_deg"});
    for (const char* change : {"lift_loss", "ramp_taper"}) {
        const Json& one = json["provable"][change];
        CHECK(keys_of(one) == std::vector<std::string>{"figure", "smallest", "wanted"});
        CHECK(one["smallest"]["plan"] == Json{{"passes", 2}, {"set_ups", 1}});
        CHECK(one["wanted"]["reached"] == false);
        double shares = 0.0;
        for (const Json& share : one["smallest"]["shares"]) shares += share.get<double>();
        CHECK(shares == Approx(1.0));
    }
    CHECK(json["provable"]["lift_loss"]["smallest"]["limited_by"] == "indicator");
}

TEST_CASE("repeat --units converts lengths and what is wanted, and leaves angles", "[cli][repeat][json]") {
    const TempFolder folder;
    const auto arguments = written(folder, bench());
    const Json mm = json_of(with(arguments, {"--json", "--want", "0.0254"}));
    const Json in = json_of(with(arguments, {"--json", "--want", "0.001", "--units", "in"}));
    CHECK(in["units"] == "in");
    const auto smallest = [](const Json& json) {
        return json["provable"]["lift_loss"]["smallest"]["u95"].get<double>();
    };
    CHECK(smallest(mm) == Approx(25.4 * smallest(in)).epsilon(1e-12));
    const Json& wanted = in["provable"]["lift_loss"]["wanted"];
    CHECK(wanted["value"].get<double>() == Approx(0.001).epsilon(1e-12));
    CHECK(wanted["with"]["plan"] == mm["provable"]["lift_loss"]["wanted"]["with"]["plan"]);
    for (std::size_t i = 0; i < mm["figures"].size(); ++i) {
        const bool angle = mm["figures"][i]["unit"] == "deg";
        INFO(mm["figures"][i]["figure"]);
        CHECK(mm["figures"][i]["pass"]["deviation"].get<double>() ==
              Approx((angle ? 1.0 : 25.4) * in["figures"][i]["pass"]["deviation"].get<double>())
                  .epsilon(1e-12));
    }
}

TEST_CASE("repeat of runs that repeat nothing, or of two cams, is 65 in one line", "[cli][repeat]") {
    const TempFolder folder;
    write_small_run(folder / "a", {});
    SmallRun other;
    other.condition = "used";
    write_small_run(folder / "used", other);
    write_small_run(folder / "b", {});
    std::filesystem::create_directory(folder / "empty");
    check_refusals({
        {"one pass", {"repeat", folder / "a"}, 65, "every lobe was swept once, so nothing is repeated"},
        {"twice the same", {"repeat", folder / "a", folder.path() / "." / "a"}, 65, "is given twice"},
        {"new and used", {"repeat", folder / "a", folder / "used"}, 65, "[run] condition differs: new in"},
        {"two cams", {"repeat", folder / "a", sample("launch-4-new")}, 65, "give runs of one cam"},
        {"no such run", {"repeat", folder / "a", folder / "nowhere"}, 66, "nowhere"},
        {"no run", {"repeat", folder / "empty"}, 66, "run.toml"},
        {"nothing wanted", {"repeat", folder / "a", "--want", "0"}, 64, "--want 0: must be a length above 0"},
        {"less than nothing wanted", {"repeat", folder / "a", "--want", "-1"}, 64, "--want"},
        {"a word wanted", {"repeat", folder / "a", "--want", "little"}, 64, "--want"},
        {"endlessly much wanted", {"repeat", folder / "a", "--want", "inf"}, 64, "must be a length above 0"},
        {"no run named", {"repeat"}, 64, "RUN is required"},
    });
}

TEST_CASE("two runs of one pass are enough, and what can't be told apart is said", "[cli][repeat]") {
    const TempFolder folder;
    write_small_run(folder / "a", {});
    SmallRun other;
    other.id = "again";
    other.lift_1e_mm = 5.501;
    other.zero_deg = 3.0;
    write_small_run(folder / "b", other);
    const Finished finished = run_program({"repeat", folder / "a", folder / "b"});
    CHECK(finished.status == 0);
    CHECK(has(finished.out, "no run has two passes of a lobe"));
    CHECK(has(finished.out,
              "2 runs by 1 operator, 2 lobes; lengths in millimetres\ncam-new (1 pass), again (1 pass)\n"));
    CHECK(longest_line(finished.out) <= 80);
}
