// `lobewright card`: what a shell sees.
#include <algorithm>
#include <cmath>
#include <fstream>

#include "tests/cli/json_answer.hpp"
#include "tests/cli/refusals.hpp"
#include "tests/cli/small_run.hpp"

using namespace lobewright::tests;

namespace {

/// A run's key of run.toml set after the first line that holds `after`.
void add_line(const std::string& folder, const std::string& after, const std::string& line) {
    std::string text = text_of(folder + "/run.toml");
    const auto at = text.find('\n', text.find(after));
    text.insert(at + 1, line + "\n");
    std::ofstream(folder + "/run.toml") << text;
}

}  // namespace

TEST_CASE("the card's screen fits 80 columns, plain, for every sample", "[cli][card][samples]") {
    for (const char* name : {"launch-4-used-wiped", "pump-6-new", "hand-4-new"}) {
        for (const std::vector<std::string>& more :
             {std::vector<std::string>{},
              std::vector<std::string>{"--units", "in", "--tdc", "179.4", "--at", "0.02"},
              std::vector<std::string>{"--units", "mm", "--at", "0.5", "--at", "2.5", "--at", "4"},
              std::vector<std::string>{"--lobe", "1E", "--lobe", "1I", "--tdc", "179.4"}}) {
            std::vector<std::string> arguments{"card", sample(name)};
            arguments.insert(arguments.end(), more.begin(), more.end());
            const Finished card = run_program(arguments);
            CAPTURE(name, more);
            CHECK(card.status == 0);
            CHECK(card.err.empty());
            CHECK(longest_line(card.out) <= 80);
            CHECK(card.out.find('\x1b') == std::string::npos);
            CHECK(card.out.find("nan") == std::string::npos);
        }
    }
}

TEST_CASE("the card of a small cam: lobes by kind, cylinder, what stays unknown", "[cli][card]") {
    const TempFolder folder;
    write_small_run(folder / "cam", {});
    const std::string out = run_program({"card", folder / "cam"}).out;
    CHECK(out.rfind("CAM CARD  cam-new, new\n", 0) == 0);
    CHECK(out.find("\nINTAKE\n") < out.find("\nEXHAUST\n"));
    CHECK(out.find("\n1I") != std::string::npos);
    CHECK(out.find("CYLINDERS") == std::string::npos);  // the lobes don't say which
    CHECK(out.find("rocker_ratio isn't given") != std::string::npos);
    CHECK(out.find("[[lobe]] cylinder") != std::string::npos);
    const std::string lobe = run_program({"card", folder / "cam", "--lobe", "1E"}).out;
    CHECK(lobe.rfind("Lobe 1E (exhaust)\n", 0) == 0);
    CHECK(lobe.find("Lobe 1I") == std::string::npos);
    CHECK(lobe.find("lift at the valve") != std::string::npos);
    CHECK(lobe.find("unknown") != std::string::npos);
}

TEST_CASE("the card's JSON holds the closed form's figures and null for what can't be known",
          "[cli][card][json]") {
    const TempFolder folder;
    write_small_run(folder / "cam", {});
    const Json json = json_of({"card", folder / "cam", "--json", "--at", "2"});
    CHECK(json["format"] == "lobewright-card/1");
    CHECK(json["units"] == "mm");
    CHECK(json["run"] == Json{{"id", "cam-new"}, {"condition", "new"}});
    CHECK(json["tdc_deg"].is_null());
    const Json& lobe = json["lobes"][0];
    CHECK(lobe["name"] == "1E");
    CHECK(lobe["lift"]["value"].get<double>() == Approx(5.5).margin(lobe["lift"]["u95"].get<double>()));
    CHECK(lobe["nose_deg"]["value"].get<double>() == Approx(100.0).margin(0.02));
    CHECK(lobe["valve_lift"].is_null());
    CHECK(lobe["centreline_crank_deg"].is_null());
    REQUIRE(lobe["durations"].size() == 3);
    CHECK(lobe["durations"][2]["lift"] == 2.0);
    // Velocity 2.1875 L/beta by the cam degree; area L beta by the crank degree, twice that by the cam's two rises.
    CHECK(lobe["velocity"]["opening"]["value"].get<double>() == Approx(2.1875 * 5.5 / 60.0).epsilon(0.003));
    CHECK(
        lobe["velocity_per_rad"]["opening"]["value"].get<double>() ==
        Approx(lobe["velocity"]["opening"]["value"].get<double>() * 180.0 / std::acos(-1.0)).epsilon(1e-12));
    CHECK(lobe["area"]["value"].get<double>() == Approx(2.0 * 5.5 * 60.0).epsilon(0.001));
    CHECK(lobe["edge_clearance"]["opening"].is_null());
    CHECK(json["cylinders"].empty());
    CHECK(json["kinds"].size() == 2);
    CHECK(json["kinds"][0]["figures"][0]["standard_deviation"].is_null());  // one lobe
}

TEST_CASE("the card in other units: lengths turn, angles stay", "[cli][card][json]") {
    for (const char* name : {"hand-4-new", "pump-6-new"}) {
        const Json mm =
            json_of({"card", sample(name), "--json", "--units", "mm", "--tdc", "179.4", "--at", "2.54"});
        const Json in =
            json_of({"card", sample(name), "--json", "--units", "in", "--tdc", "179.4", "--at", "0.1"});
        CHECK(in["units"] == "in");
        for (std::size_t i = 0; i < mm["lobes"].size(); ++i) {
            const Json &a = mm["lobes"][i], &b = in["lobes"][i];
            for (const char* key : {"lift", "least_radius", "area", "jerk"}) {
                CAPTURE(name, key);
                for (const char* part : {"value", "u95"})
                    CHECK(a[key][part].get<double>() ==
                          Approx(25.4 * b[key][part].get<double>()).epsilon(1e-12));
            }
            for (const char* key : {"nose_deg", "top_deg", "centreline_crank_deg", "asymmetry_crank_deg"})
                CHECK(a[key] == b[key]);
            for (std::size_t d = 0; d < 3; ++d) {
                CHECK(a["durations"][d]["crank_deg"]["value"].get<double>() ==
                      Approx(b["durations"][d]["crank_deg"]["value"].get<double>()).epsilon(1e-12));
            }
        }
        CHECK(mm["cylinders"][0]["separation_deg"] == in["cylinders"][0]["separation_deg"]);
    }
}

TEST_CASE("a run folder in inches makes the same card as in millimetres", "[cli][card][json]") {
    const TempFolder folder;
    write_small_run(folder / "mm", {});
    SmallRun inches;
    inches.inches = true;
    write_small_run(folder / "in", inches);
    const Json mm = json_of({"card", folder / "mm", "--json"});
    const Json in = json_of({"card", folder / "in", "--json", "--units", "mm"});
    for (std::size_t i = 0; i < 2; ++i) {
        for (std::size_t d = 0; d < 2; ++d) {
            const Json &a = mm["lobes"][i]["durations"][d]["crank_deg"],
                       &b = in["lobes"][i]["durations"][d]["crank_deg"];
            CHECK(a["value"].get<double>() ==
                  Approx(b["value"].get<double>()).margin(a["u95"].get<double>()));
        }
    }
}

TEST_CASE("with top dead centre the card says where valves open and close", "[cli][card]") {
    // Noses of the small cam at 100 and 205: separation 105, dead centre between them at 152.5.
    const TempFolder folder;
    write_small_run(folder / "cam", {});
    for (const char* name : {"1E", "1I"})
        add_line(folder / "cam", "name = \"" + std::string(name), "cylinder = 1");
    const Json json = json_of({"card", folder / "cam", "--json", "--tdc", "152.5"});
    const Json& cylinder = json["cylinders"][0];
    CHECK(cylinder["cylinder"] == 1);
    CHECK(cylinder["separation_deg"]["value"].get<double>() == Approx(105.0).margin(0.02));
    CHECK(cylinder["advance_crank_deg"]["value"].get<double>() == Approx(0.0).margin(0.05));
    CHECK(cylinder["intake_index_crank_deg"].is_null());  // one cylinder has no other to be even with
    CHECK(json["lobes"][1]["centreline_crank_deg"]["value"].get<double>() == Approx(105.0).margin(0.03));
    const std::string lobe = run_program({"card", folder / "cam", "--lobe", "1E", "--tdc", "152.5"}).out;
    CHECK(lobe.find("105.0 BTDC") != std::string::npos);
    // The exhaust opens at 1.27 mm half a duration earlier, nearer to bottom dead centre; it closes before the top one.
    CHECK(lobe.find(" BBDC") != std::string::npos);
}

TEST_CASE("card ends with 0 when printed, whatever the cam's state, else as every command", "[cli][card]") {
    const TempFolder folder;
    SmallRun worn;
    worn.taper_mm = 0.0;
    write_small_run(folder / "worn", worn);
    CHECK(run_program({"card", folder / "worn"}).status == 0);
    write_small_run(folder / "bad", {});
    std::ofstream(folder / "bad/sweeps/b.csv", std::ios::app) << "12,x,0.0\n";
    check_refusals({
        {"no such run", {"card", folder / "nowhere"}, 66, "nowhere"},
        {"bad cell", {"card", folder / "bad"}, 65, "b.csv:364"},
        {"no such lobe", {"card", folder / "worn", "--lobe", "9X"}, 64, "the run has 1E, 1I"},
        {"one lobe of two isn't there",
         {"card", folder / "worn", "--lobe", "1E", "--lobe", "9X"},
         64,
         "--lobe 9X"},
    });
    CHECK(run_program({"card", folder / "worn"}, "/dev/full").status == 74);
}
