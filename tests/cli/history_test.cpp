// `lobewright history`: what a shell sees.
#include "tests/cli/json_answer.hpp"
#include "tests/cli/refusals.hpp"
#include "tests/cli/small_run.hpp"

using namespace lobewright::tests;

TEST_CASE("history fits 80 columns and says first what leads where", "[cli][history][samples]") {
    const Finished pump = run_program({"history", sample("pump-6-used"), sample("pump-6-new")});
    CHECK(pump.status == 0);
    CHECK(pump.err.empty());
    CHECK(longest_line(pump.out) <= 80);
    CHECK(has(pump.out, "pump-6-new (0.0 h), pump-6-used (1900 h)"));
    const Finished launch = run_program({"history", sample("launch-4-new"), sample("launch-4-used-nose"),
                                         sample("launch-4-used-wiped"), "--units", "in"});
    CHECK(launch.status == 0);
    CHECK(longest_line(launch.out) <= 80);
    CHECK(has(launch.out, "Past its limit by the last run: lift loss of 3E, ramp taper of 3E"));
}

TEST_CASE("history's JSON holds a value a run, the rate and the limit", "[cli][history][json]") {
    const Json json = json_of({"history", sample("launch-4-new"), sample("launch-4-used-wiped"), "--json"});
    CHECK(keys_of(json) == std::vector<std::string>{"format", "units", "runs", "lobes", "notes"});
    const Json& worn = json["lobes"][4];
    CHECK(worn["name"] == "3E");
    CHECK(keys_of(worn["lift_loss"]) ==
          std::vector<std::string>{"at", "per_hour", "one_rate", "limit", "passed", "limit_at_hours"});
    CHECK(worn["lift_loss"]["at"].size() == 1);
    CHECK(worn["ramp_taper"]["at"].size() == 2);
    CHECK(worn["lift_loss"]["passed"] == true);
    CHECK(worn["lift_loss"]["limit_at_hours"].is_null());
    CHECK(worn["lift_loss"]["limit"].get<double>() == Approx(0.13));
}

TEST_CASE("history of what has none is refused in one line", "[cli][history]") {
    const TempFolder folder;
    write_small_run(folder / "new", {});
    SmallRun used = worn();
    write_small_run(folder / "used", used);
    check_refusals({
        {"one run", {"history", folder / "new"}, 65, "two runs or more"},
        {"no hours", {"history", folder / "new", folder / "used"}, 65, "hours isn't given"},
        {"no such run", {"history", folder / "new", folder / "nowhere"}, 66, "nowhere"},
        {"no run", {"history"}, 64, "RUN is required"},
        {"another cam", {"history", sample("pump-6-new"), sample("launch-4-used-nose")}, 65, "lobe"},
    });
}
