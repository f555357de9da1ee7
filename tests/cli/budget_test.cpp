// Where each figure's uncertainty comes from, for a program: the JSON and the exit status.
#include <cmath>
#include <set>

#include "analysis/compare.hpp"
#include "analysis/run/run_folder.hpp"
#include "tests/cli/budget_pair.hpp"
#include "tests/cli/refusals.hpp"

using namespace lobewright::tests;

namespace {

constexpr double normal_95 = 1.959963985;  // two-sided normal factor; derived, numerically verified

std::vector<std::string> figures_of(const Json& lobe) {
    std::vector<std::string> figures;
    for (const Json& figure : lobe["figures"]) figures.push_back(figure["figure"]);
    return figures;
}

}  // namespace

TEST_CASE("budget --json has the format's keys, and every figure that has a budget", "[cli][budget][json]") {
    const TempFolder folder;
    write_pair(folder);
    const Json json = json_of({"budget", folder / "used", "--against", folder / "new", "--json"});
    CHECK(keys_of(json) == std::vector<std::string>{"format", "units", "used", "reference", "lobes"});
    CHECK(json["format"] == "lobewright-budget/1");
    CHECK(json["units"] == "mm");
    CHECK(json["used"] == Json{{"id", "cam-used"}, {"condition", "used"}});
    CHECK(json["reference"] == Json{{"id", "cam-new"}, {"condition", "new"}});
    REQUIRE(json["lobes"].size() == 2);
    CHECK(json["lobes"][1]["name"] == "1I");
    for (const Json& lobe : json["lobes"]) {
        CHECK(keys_of(lobe) == std::vector<std::string>{"name", "figures"});
        CHECK(figures_of(lobe) == std::vector<std::string>{"lift.reference",
                                                           "lift.used",
                                                           "lift.loss",
                                                           "nose_deg",
                                                           "phase_shift_deg",
                                                           "base_circle.runout.front",
                                                           "base_circle.runout.rear",
                                                           "base_circle.eccentricity",
                                                           "taper.base",
                                                           "taper.opening",
                                                           "taper.nose",
                                                           "taper.closing",
                                                           "wear.max_depth",
                                                           "wear.nose_depth",
                                                           "wear.front_nose_depth",
                                                           "wear.rear_nose_depth",
                                                           "wear.area",
                                                           "wear.volume",
                                                           "wear.nose_radius.reference",
                                                           "wear.nose_radius.used"});
        for (const Json& figure : lobe["figures"]) {
            CHECK(keys_of(figure) == std::vector<std::string>{"figure", "value", "u95", "sources"});
            CHECK(keys_of(figure["sources"]) ==
                  std::vector<std::string>{"noise", "encoder", "indicator", "step", "smoothing", "table",
                                           "datum", "passes", "drift", "form", "support", "temperature"});
        }
    }
    // A figure that is given a budget later must not be left out here.
    const auto figures =
        lobewright::compare_runs(lobewright::read_run(folder / "new"), lobewright::read_run(folder / "used"));
    for (std::size_t i = 0; i < figures.lobes.size(); ++i) {
        std::set<std::string> budgeted;
        for (const auto& line : figures.lobes[i].budget) budgeted.insert(line.figure);
        const auto printed = figures_of(json["lobes"][i]);
        CHECK(budgeted == std::set<std::string>(printed.begin(), printed.end()));
    }
}

TEST_CASE("a run alone has the same less what needs a reference", "[cli][budget][json]") {
    const TempFolder folder;
    write_small_run(folder / "new", {});
    const Json json = json_of({"budget", folder / "new", "--json"});
    CHECK(keys_of(json) == std::vector<std::string>{"format", "units", "used", "lobes"});
    CHECK(figures_of(json["lobes"][0]) ==
          std::vector<std::string>{"lift.used", "nose_deg", "base_circle.runout.front",
                                   "base_circle.runout.rear", "base_circle.eccentricity", "taper.base",
                                   "taper.opening", "taper.nose", "taper.closing", "wear.nose_radius.used"});
}

TEST_CASE("value and u95 are those that compare states", "[cli][budget][json]") {
    const std::string used = sample("hand-4-used");
    const std::string reference = sample("hand-4-new");
    const Json budget = json_of({"budget", used, "--against", reference, "--json"});
    const Json compared = Json::parse(run_program({"compare", reference, used, "--json"}).out);
    for (std::size_t i = 0; i < budget["lobes"].size(); ++i) {
        for (const Json& figure : budget["lobes"][i]["figures"]) {
            std::string path = "/" + figure["figure"].get<std::string>();
            for (char& c : path) c = c == '.' ? '/' : c;
            INFO(path);
            const Json& stated = compared["lobes"][i].at(Json::json_pointer(path));
            CHECK(figure["value"] == stated["value"]);
            CHECK(figure["u95"] == stated["u95"]);
        }
    }
}

TEST_CASE("the sources combine to u95: root of the sum of squares times Student's factor",
          "[cli][budget][json][samples]") {
    const auto runs =
        GENERATE(values<std::pair<std::string, std::string>>({{"launch-4-new", "launch-4-used-wiped"},
                                                              {"pump-6-new", "pump-6-used"},
                                                              {"hand-4-new", "hand-4-used"}}));
    const Json json = json_of({"budget", sample(runs.second), "--against", sample(runs.first), "--json"});
    for (const Json& lobe : json["lobes"]) {
        for (const Json& figure : lobe["figures"]) {
            INFO(runs.second << " " << lobe["name"] << " " << figure["figure"]);
            double squares = 0.0;
            for (const Json& u : figure["sources"]) squares += u.get<double>() * u.get<double>();
            const double factor = figure["u95"].get<double>() / std::sqrt(squares);
            CHECK(factor >= normal_95 * (1.0 - 1e-9));
            CHECK(factor < 2.04);  // t95 of 30 degrees of freedom is 2.042 (from memory)
        }
    }
}

TEST_CASE("budget --units converts lengths, areas by length and volumes by its cube, and leaves angles",
          "[cli][budget][json]") {
    const TempFolder folder;
    write_pair(folder);
    const std::vector<std::string> arguments{"budget", folder / "used", "--against", folder / "new"};
    const auto with = [&](std::vector<std::string> more) {
        more.insert(more.begin(), arguments.begin(), arguments.end());
        return more;
    };
    const Json mm = json_of(with({"--json"}));
    const Json in = json_of(with({"--json", "--units", "in"}));
    CHECK(in["units"] == "in");
    for (const Json& figure : mm["lobes"][1]["figures"]) {
        const std::string name = figure["figure"];
        const Json& other = figure_of(in["lobes"][1], name);
        INFO(name);
        const bool angle = name == "nose_deg" || name == "phase_shift_deg";
        const double per = angle ? 1.0 : name == "wear.volume" ? 25.4 * 25.4 * 25.4 : 25.4;
        for (const char* key : {"value", "u95"}) {
            CHECK(figure[key].get<double>() == Approx(per * other[key].get<double>()).epsilon(1e-12));
        }
        for (const auto& [source, u] : figure["sources"].items()) {
            CHECK(u.get<double>() == Approx(per * other["sources"][source].get<double>()).epsilon(1e-12));
        }
    }
}

TEST_CASE("budget ends with 0 when printed, whatever the verdict, else as every command", "[cli][budget]") {
    const TempFolder folder;
    write_pair(folder);
    SmallRun worn;
    worn.taper_mm = 0.0;
    write_small_run(folder / "worn", worn);
    CHECK(run_program({"budget", folder / "worn"}).status == 0);

    write_small_run(folder / "bad", {});
    std::ofstream(folder / "bad/sweeps/b.csv", std::ios::app) << "12,x,0.0\n";
    check_refusals({
        {"no such run", {"budget", folder / "nowhere"}, 66, "nowhere"},
        {"no such reference", {"budget", folder / "used", "--against", folder / "nowhere"}, 66, "nowhere"},
        {"bad cell", {"budget", folder / "bad"}, 65, "b.csv:364"},
        {"no such lobe", {"budget", folder / "used", "--lobe", "9X"}, 64, "the run has 1E, 1I"},
        {"one lobe of two isn't there",
         {"budget", folder / "used", "--lobe", "1E", "--lobe", "9X"},
         64,
         "--lobe 9X: no such lobe"},
    });
    const Finished full = run_program({"budget", folder / "used"}, "/dev/full");
    CHECK(full.status == 74);
    CHECK(full.err.find("standard output can't be written") != std::string::npos);
}
