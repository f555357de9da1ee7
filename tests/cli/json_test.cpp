// --json against docs/run-folder.md, "JSON": every key there and in its order, null where a figure can't be known,
// units.
#include <string>
#include <vector>

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "tests/cli/program.hpp"
#include "tests/cli/small_run.hpp"

using namespace lobewright::tests;
using Json = nlohmann::ordered_json;

namespace {

/// Paths of every key in document order; the first element stands for its list. A figure is one key.
void add_paths(const Json& json, const std::string& at, std::vector<std::string>& paths) {
    if (json.is_array()) {
        if (!json.empty() && json.front().is_object()) add_paths(json.front(), at + "[]", paths);
        return;
    }
    if (!json.is_object() || json.contains("u95")) return;
    for (const auto& [key, value] : json.items()) {
        std::string path = at;
        if (!at.empty()) path += '.';
        path += key;
        paths.push_back(path);
        add_paths(value, path, paths);
    }
}

std::vector<std::string> paths_of(const Json& json) {
    std::vector<std::string> paths;
    add_paths(json, "", paths);
    return paths;
}

using Paths = std::vector<std::string>;

// The JSON of docs/run-folder.md, line for line. `journals` is empty in a run without journals, and so has no keys
// below it.
const Paths compare_paths{"format",
                          "units",
                          "reference",
                          "reference.id",
                          "reference.condition",
                          "used",
                          "used.id",
                          "used.condition",
                          "cam",
                          "cam.verdict",
                          "cam.reasons",
                          "cam.reasons[].rule",
                          "cam.reasons[].says",
                          "cam.reasons[].lobe",
                          "cam.notes",
                          "cam.stock_to_clean",
                          "cam.thrust",
                          "cam.thrust.pushes",
                          "cam.thrust.share",
                          "cam.bend",
                          "journals",
                          "lobes",
                          "lobes[].name",
                          "lobes[].kind",
                          "lobes[].verdict",
                          "lobes[].reasons",
                          "lobes[].reasons[].rule",
                          "lobes[].reasons[].says",
                          "lobes[].reasons[].lobe",
                          "lobes[].notes",
                          "lobes[].lift",
                          "lobes[].lift.reference",
                          "lobes[].lift.used",
                          "lobes[].lift.loss",
                          "lobes[].nose_deg",
                          "lobes[].phase_shift_deg",
                          "lobes[].base_circle",
                          "lobes[].base_circle.arc_deg",
                          "lobes[].base_circle.runout",
                          "lobes[].base_circle.runout.front",
                          "lobes[].base_circle.runout.rear",
                          "lobes[].base_circle.eccentricity",
                          "lobes[].base_circle.eccentricity_deg",
                          "lobes[].base_circle.form",
                          "lobes[].base_circle.form.front",
                          "lobes[].base_circle.form.rear",
                          "lobes[].taper",
                          "lobes[].taper.datum",
                          "lobes[].taper.high_side",
                          "lobes[].taper.base",
                          "lobes[].taper.opening",
                          "lobes[].taper.nose",
                          "lobes[].taper.closing",
                          "lobes[].wear",
                          "lobes[].wear.max_depth",
                          "lobes[].wear.at_deg",
                          "lobes[].wear.edge",
                          "lobes[].wear.nose_depth",
                          "lobes[].wear.front_nose_depth",
                          "lobes[].wear.rear_nose_depth",
                          "lobes[].wear.area",
                          "lobes[].wear.volume",
                          "lobes[].wear.flat_arc_deg",
                          "lobes[].wear.nose_radius",
                          "lobes[].wear.nose_radius.reference",
                          "lobes[].wear.nose_radius.used",
                          "lobes[].stock_to_clean"};

// The same less what needs a reference.
const Paths inspect_paths{"format",
                          "units",
                          "used",
                          "used.id",
                          "used.condition",
                          "cam",
                          "cam.verdict",
                          "cam.reasons",
                          "cam.reasons[].rule",
                          "cam.reasons[].says",
                          "cam.reasons[].lobe",
                          "cam.notes",
                          "cam.thrust",
                          "cam.thrust.pushes",
                          "cam.thrust.share",
                          "cam.bend",
                          "journals",
                          "lobes",
                          "lobes[].name",
                          "lobes[].kind",
                          "lobes[].verdict",
                          "lobes[].reasons",
                          "lobes[].reasons[].rule",
                          "lobes[].reasons[].says",
                          "lobes[].reasons[].lobe",
                          "lobes[].notes",
                          "lobes[].lift",
                          "lobes[].lift.used",
                          "lobes[].nose_deg",
                          "lobes[].base_circle",
                          "lobes[].base_circle.arc_deg",
                          "lobes[].base_circle.runout",
                          "lobes[].base_circle.runout.front",
                          "lobes[].base_circle.runout.rear",
                          "lobes[].base_circle.eccentricity",
                          "lobes[].base_circle.eccentricity_deg",
                          "lobes[].base_circle.form",
                          "lobes[].base_circle.form.front",
                          "lobes[].base_circle.form.rear",
                          "lobes[].taper",
                          "lobes[].taper.datum",
                          "lobes[].taper.high_side",
                          "lobes[].taper.base",
                          "lobes[].taper.opening",
                          "lobes[].taper.nose",
                          "lobes[].taper.closing",
                          "lobes[].wear",
                          "lobes[].wear.flat_arc_deg",
                          "lobes[].wear.nose_radius",
                          "lobes[].wear.nose_radius.used"};

Json json_of(const Finished& finished) {
    CHECK(finished.err.empty());
    return Json::parse(finished.out);
}

}  // namespace

TEST_CASE("compare --json has every key of the format in its order", "[cli][json]") {
    const TempFolder folder;
    write_small_run(folder / "new", {});
    write_small_run(folder / "used", worn());
    const Json json = json_of(run_program({"compare", folder / "new", folder / "used", "--json"}));
    CHECK(paths_of(json) == compare_paths);
    CHECK(json["format"] == "lobewright-compare/1");
    CHECK(json["units"] == "mm");
    CHECK(json["reference"] == Json{{"id", "cam-new"}, {"condition", "new"}});
    CHECK(json["used"] == Json{{"id", "cam-used"}, {"condition", "used"}});
    CHECK(json["cam"]["verdict"] == "regrind");
    CHECK(json["cam"]["reasons"][0]["rule"] == "lift loss");
    CHECK(json["cam"]["reasons"][0]["lobe"] == "1I");
    CHECK(json["lobes"].size() == 2);
    CHECK(json["lobes"][0]["name"] == "1E");
    CHECK(json["lobes"][0]["kind"] == "exhaust");
    CHECK(json["lobes"][0]["verdict"] == "reuse");
    CHECK(json["lobes"][1]["verdict"] == "regrind");
    CHECK(json["lobes"][1]["reasons"][0]["lobe"] == "1I");
    CHECK(json["lobes"][0]["taper"]["datum"] == "mastered");
    CHECK(json["lobes"][0]["taper"]["high_side"] == "rear");
    const Json& loss = json["lobes"][1]["lift"]["loss"];
    CHECK(loss["value"].get<double>() == Approx(0.4).margin(loss["u95"].get<double>()));
}

TEST_CASE("inspect --json has the same less what needs a reference", "[cli][json]") {
    const TempFolder folder;
    write_small_run(folder / "used", worn());
    const Json json = json_of(run_program({"inspect", folder / "used", "--json"}));
    CHECK(paths_of(json) == inspect_paths);
    CHECK(json["format"] == "lobewright-inspect/1");
    CHECK(json["used"] == Json{{"id", "cam-used"}, {"condition", "used"}});
}

TEST_CASE("what can't be known is null and has its cause among the notes", "[cli][json]") {
    const TempFolder folder;
    write_small_run(folder / "new", {});
    SmallRun used = worn();
    used.datum = false;
    used.base_diameter = false;
    write_small_run(folder / "used", used);
    SmallRun reference;
    reference.base_diameter = false;
    write_small_run(folder / "no-base", reference);
    const Json json = json_of(run_program({"compare", folder / "no-base", folder / "used", "--json"}));
    CHECK(paths_of(json) == compare_paths);
    CHECK(json["cam"]["bend"].is_null());
    CHECK_FALSE(json["cam"]["notes"].empty());
    CHECK(json["cam"]["thrust"]["share"].is_null());
    const Json& lobe = json["lobes"][0];
    CHECK(lobe["taper"]["datum"] == "base-circle");
    CHECK(lobe["taper"]["high_side"] == "unknown");
    CHECK(lobe["wear"]["flat_arc_deg"].is_null());
    CHECK(lobe["wear"]["volume"].is_null());
    CHECK(lobe["wear"]["nose_radius"]["used"].is_null());
    CHECK_FALSE(lobe["notes"].empty());
}

TEST_CASE("the option --units converts lengths, areas by length and volumes by its cube, and leaves angles",
          "[cli][json]") {
    const TempFolder folder;
    write_small_run(folder / "new", {});
    write_small_run(folder / "used", worn());
    const Json mm = json_of(run_program({"compare", folder / "new", folder / "used", "--json"}));
    const Json in =
        json_of(run_program({"compare", folder / "new", folder / "used", "--json", "--units", "in"}));
    CHECK(in["units"] == "in");
    const auto ratio = [&](const char* path, const char* part) {
        const Json::json_pointer at(std::string("/lobes/1/") + path + "/" + part);
        return mm.at(at).get<double>() / in.at(at).get<double>();
    };
    for (const char* part : {"value", "u95"}) {
        for (const char* path : {"lift/used", "lift/loss", "base_circle/runout/front", "taper/closing",
                                 "taper/opening", "wear/max_depth", "wear/area", "wear/nose_radius/used",
                                 "wear/nose_radius/reference", "stock_to_clean"}) {
            INFO(path);
            CHECK(ratio(path, part) == Approx(25.4).epsilon(1e-12));
        }
        CHECK(ratio("wear/volume", part) == Approx(25.4 * 25.4 * 25.4).epsilon(1e-12));
        CHECK(ratio("nose_deg", part) == 1.0);
    }
    CHECK(mm["cam"]["stock_to_clean"]["value"].get<double>() /
              in["cam"]["stock_to_clean"]["value"].get<double>() ==
          Approx(25.4).epsilon(1e-12));
}

TEST_CASE("lengths are in the used run's unit unless told otherwise", "[cli][json]") {
    const TempFolder folder;
    write_small_run(folder / "new", {});
    SmallRun used = worn();
    used.inches = true;
    write_small_run(folder / "used", used);
    const Json json = json_of(run_program({"compare", folder / "new", folder / "used", "--json"}));
    CHECK(json["units"] == "in");
    const Json& lift = json["lobes"][0]["lift"]["used"];
    CHECK(lift["value"].get<double>() == Approx(5.5 / 25.4).margin(lift["u95"].get<double>()));
}

TEST_CASE("the option --curves adds curves on a uniform grid", "[cli][json]") {
    const TempFolder folder;
    write_small_run(folder / "new", {});
    write_small_run(folder / "used", worn());
    const Json json = json_of(run_program(
        {"compare", folder / "new", folder / "used", "--json", "--curves", "--curve-points", "360"}));
    const Json& curves = json["lobes"][0]["curves"];
    CHECK(paths_of(curves) == Paths{"angle_deg", "front", "rear", "taper", "wear_front", "wear_rear"});
    for (const auto& [name, curve] : curves.items()) {
        INFO(name);
        CHECK(curve.size() == 360);
    }
    for (std::size_t i = 1; i < curves["angle_deg"].size(); ++i) {
        CHECK(curves["angle_deg"][i].get<double>() - curves["angle_deg"][i - 1].get<double>() == Approx(1.0));
    }
    const Json plain =
        json_of(run_program({"compare", folder / "new", folder / "used", "--json", "--curves"}));
    CHECK(plain["lobes"][0]["curves"]["front"].size() == 720);
    const Json alone = json_of(run_program({"inspect", folder / "new", "--json", "--curves"}));
    CHECK(paths_of(alone["lobes"][0]["curves"]) == Paths{"angle_deg", "front", "rear", "taper"});
}
