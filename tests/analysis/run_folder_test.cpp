// analysis/run/run_folder.hpp, reading: what stands in a folder is what read_run gives.
#include "analysis/run/run_folder.hpp"

#include <cstdlib>
#include <sched.h>

#include <catch2/catch.hpp>

#include "analysis/errors.hpp"
#include "run_comparison.hpp"
#include "run_test_folder.hpp"

using namespace lobewright;
using namespace lobewright_test;
namespace fs = std::filesystem;

TEST_CASE("every key of run.toml arrives", "[run][run_folder]") {
    const TempFolder temp;
    const Run run = read_run(make_run(temp.path() / "run"));
    CHECK(run.folder == temp.path() / "run");
    CHECK(run.units == Units::mm);
    CHECK(run.info.id == "launch-4-used");
    CHECK(run.info.taken == "2026-02-03T10:15:00Z");
    CHECK(run.info.condition == Condition::used);
    CHECK(run.info.hours == 410.5);
    CHECK(run.info.operator_name == "bench 2");
    CHECK(run.info.note == "wiped \"dry\"\nthen swept");
    CHECK(run.cam.part == "LE4-118");
    CHECK(run.cam.follower == Follower::flat);
    CHECK(run.cam.follower_radius_mm == 0.0);
    CHECK(run.cam.retention == Retention::thrust_plate);
    CHECK(run.cam.material == "chilled iron");
    CHECK(run.cam.case_depth_mm == 1.2);
    REQUIRE(run.tappet.has_value());
    CHECK(run.tappet->diameter_mm == 22.0);
    CHECK(run.tappet->crown_radius_mm == 1270.0);
    REQUIRE(run.valvetrain.has_value());
    CHECK(run.valvetrain->rocker_ratio == 1.5);
    CHECK(run.valvetrain->seat_force_n == 350.0);
    CHECK(run.valvetrain->rate_n_per_mm == 45.0);
    CHECK(run.rig.counts_per_rev == 14400);
    CHECK(run.rig.direction == -1);
    CHECK(run.rig.zero_deg == 12.5);
    CHECK(run.rig.tip == Tip::point);
    CHECK(run.rig.tip_radius_mm == 1.5);
    CHECK(run.rig.front_z_mm == -4.25);
    CHECK(run.rig.rear_z_mm == 4.5);
    CHECK(run.rig.resolution_mm == 0.0005);
    CHECK(run.rig.error_limit_mm == 0.002);
    CHECK(run.rig.temperature_c == 20.5);
    REQUIRE(run.datum.has_value());
    CHECK(run.datum->method == DatumMethod::end_for_end);
    CHECK(run.datum->rear_minus_front_mm == -0.0012);
    CHECK(run.datum->u_mm == 0.0004);
    REQUIRE(run.journals.size() == 2);
    CHECK(run.journals[0].name == "J1");
    CHECK(run.journals[0].z_mm == 10.0);
    CHECK(run.journals[0].diameter_mm == 47.6);
    CHECK(run.journals[0].v_angle_deg == 90.0);
    CHECK_FALSE(run.journals[1].diameter_mm.has_value());
    REQUIRE(run.lobes.size() == 2);
    CHECK(run.lobes[0].name == "1E");
    CHECK(run.lobes[0].kind == LobeKind::exhaust);
    CHECK(run.lobes[0].cylinder == 1);
    CHECK(run.lobes[0].z_mm == 30.0);
    CHECK(run.lobes[0].width_mm == 12.0);
    CHECK(run.lobes[0].base_diameter_mm == 28.0);
    CHECK(run.lobes[0].tappet == "T1");
    REQUIRE(run.lobes[0].stripes.size() == 2);
    CHECK(run.lobes[0].stripes[0].at == StripePlace::nose);
    CHECK(run.lobes[0].stripes[0].width_mm == 9.5);
    CHECK(run.lobes[0].stripes[0].side == StripeSide::rear);
    CHECK(run.lobes[0].stripes[1].side == StripeSide::neither);
    CHECK_FALSE(run.lobes[1].cylinder.has_value());
    CHECK(run.sweeps.size() == 2);
}

TEST_CASE("the least run.toml has the documented defaults", "[run][run_folder]") {
    const TempFolder temp;
    write_text(temp.path() / "run.toml", R"(format = "lobewright-run/1"
units = "in"
run = { id = "x", taken = 2026-02-03 10:15:00.250+01:30, condition = "new" }
cam = { follower = "flat-offset", retention = "none" }
rig = { tip = "flat", front_z = -1, rear_z = 1 }
lobe = [ { name = "1E", kind = "other", z = 2, width = 0.5 } ]
)");
    fs::create_directory(temp.path() / "sweeps");
    const Run run = read_run(temp.path());
    CHECK(run.info.taken == "2026-02-03T10:15:00.25+01:30");
    CHECK(run.info.condition == Condition::as_new);
    CHECK(run.rig.direction == 1);
    CHECK(run.rig.zero_deg == 0.0);
    CHECK(run.rig.front_z_mm == -25.4);
    CHECK(run.lobes[0].width_mm == 12.7);
    CHECK_FALSE(run.rig.counts_per_rev.has_value());
    CHECK_FALSE(run.rig.resolution_mm.has_value());
    CHECK_FALSE(run.rig.error_limit_mm.has_value());
    CHECK_FALSE(run.tappet.has_value());
    CHECK_FALSE(run.datum.has_value());
    CHECK(run.journals.empty());
    CHECK(run.sweeps.empty());
}

TEST_CASE("only lengths change with the unit", "[run][run_folder]") {
    const TempFolder temp;
    const fs::path folder = make_run(temp.path() / "run");
    write_text(folder / "run.toml", replaced(full_toml, "\"mm\"", "\"in\""));
    const Run run = read_run(folder);
    CHECK(run.units == Units::in);
    CHECK(run.rig.resolution_mm == 0.0005 * 25.4);
    CHECK(run.lobes[0].stripes[0].width_mm == 9.5 * 25.4);
    CHECK(run.journals[0].diameter_mm == 47.6 * 25.4);
    CHECK(run.valvetrain->rate_n_per_mm == 45.0);
    CHECK(run.valvetrain->rocker_ratio == 1.5);
    CHECK(run.rig.zero_deg == 12.5);
    CHECK(run.rig.temperature_c == 20.5);
    CHECK(run.info.hours == 410.5);
    CHECK(run.sweeps[0].front_mm[0] == 0.0010 * 25.4);
}

TEST_CASE("every documented word is read and has its word", "[run][run_folder]") {
    const auto with = [](const std::string& from, const std::string& to) {
        const TempFolder temp;
        const fs::path folder = make_run(temp.path() / "run");
        write_text(folder / "run.toml", replaced(full_toml, from, to));
        return read_run(folder);
    };
    for (const std::string text : {"new", "before", "after", "used"})
        CHECK(word(with("\"used\"", '"' + text + '"').info.condition) == text);
    for (const std::string text : {"flat", "flat-offset", "roller"})
        CHECK(word(with("\"flat\"\nfollower_radius = 0.0", '"' + text + '"').cam.follower) == text);
    for (const std::string text : {"thrust-plate", "none", "button"})
        CHECK(word(with("\"thrust-plate\"", '"' + text + '"').cam.retention) == text);
    for (const std::string text : {"flat", "roller", "point"})
        CHECK(word(with("\"point\"", '"' + text + '"').rig.tip) == text);
    for (const std::string text : {"bar", "end-for-end"})
        CHECK(word(with("\"end-for-end\"", '"' + text + '"').datum->method) == text);
    for (const std::string text : {"intake", "exhaust", "other"})
        CHECK(word(with("\"exhaust\"", '"' + text + '"').lobes[0].kind) == text);
    for (const std::string text : {"heel", "opening", "nose", "closing"})
        CHECK(word(with("\"nose\"", '"' + text + '"').lobes[0].stripes[0].at) == text);
    for (const std::string text : {"front", "rear", "both", "neither"})
        CHECK(word(with("\"rear\"", '"' + text + '"').lobes[0].stripes[0].side) == text);
    for (const std::string text : {"mm", "in"}) CHECK(word(with("\"mm\"", '"' + text + '"').units) == text);
}

TEST_CASE("texts may hold any letters and quotes of any kind", "[run][run_folder]") {
    const TempFolder temp;
    const fs::path folder = make_run(temp.path() / "run");
    const std::string texts = R"(note = """
übergeben: "gut", .................... # kein Vermerk
""\"""" # Vermerk
)";
    write_text(
        folder / "run.toml",
        "\xef\xbb\xbf" + replaced(replaced(full_toml, "note = \"wiped \\\"dry\\\"\\nthen swept\"\n", texts),
                                  "\"bench 2\"", "'\"größte\" # 2'"));
    const Run run = read_run(folder);
    CHECK(run.info.note == "übergeben: \"gut\", .................... # kein Vermerk\n\"\"\"");
    CHECK(run.info.operator_name == "\"größte\" # 2");
    write_run(run, temp.path() / "copy");
    require_same_run(read_run(temp.path() / "copy"), run);
}

TEST_CASE("sweeps stand in the order of run.toml, then of passes", "[run][run_folder]") {
    const TempFolder temp;
    write_text(temp.path() / "run.toml", full_toml);
    write_text(temp.path() / "sweeps/a.csv", sweep_of("J1", 1));
    write_text(temp.path() / "sweeps/b.csv", sweep_of("1I", 1));
    write_text(temp.path() / "sweeps/c.csv", sweep_of("1E", 3));
    write_text(temp.path() / "sweeps/d.csv", sweep_of("1E", 2));
    const Run run = read_run(temp.path());
    REQUIRE(run.sweeps.size() == 4);
    CHECK(run.sweeps[0].file == temp.path() / "sweeps/d.csv");
    CHECK(run.sweeps[1].file == temp.path() / "sweeps/c.csv");
    CHECK(run.sweeps[2].of == "1I");
    CHECK(run.sweeps[3].of == "J1");
}

TEST_CASE("only .csv files in sweeps/ are sweeps", "[run][run_folder]") {
    const TempFolder temp;
    const fs::path folder = make_run(temp.path() / "run");
    write_text(folder / "sweeps/notes.txt", "not a sweep");
    write_text(folder / "sweeps/old.csv/a.csv", "not a sweep");
    write_text(folder / "captures/bench.cap", "raw");
    fs::rename(folder / "sweeps/a.csv", folder / "sweeps/A.CSV");
    CHECK(read_run(folder).sweeps.size() == 2);
}

TEST_CASE("one core or all give the same run and the same complaint", "[run][run_folder]") {
    const TempFolder temp;
    write_text(temp.path() / "run.toml", full_toml);
    for (int pass = 1; pass <= 40; ++pass) {
        std::string rows;
        for (int i = 0; i < 50 * pass; ++i)
            rows += std::to_string(i) + ",0.00" + std::to_string(pass) + ",1.5\n";
        write_text(temp.path() / "sweeps" / (std::to_string(100 + pass) + ".csv"),
                   sweep_of("1E", pass, rows));
    }
    cpu_set_t all;
    REQUIRE(::sched_getaffinity(0, sizeof all, &all) == 0);
    cpu_set_t one;
    CPU_ZERO(&one);
    for (int cpu = 0; CPU_COUNT(&one) == 0; ++cpu)
        if (CPU_ISSET(cpu, &all)) CPU_SET(cpu, &one);
    const auto on_one_core = [&](const auto& act) {
        REQUIRE(::sched_setaffinity(0, sizeof one, &one) == 0);
        act();
        REQUIRE(::sched_setaffinity(0, sizeof all, &all) == 0);
    };
    Run alone;
    on_one_core([&] { alone = read_run(temp.path()); });
    require_same_run(read_run(temp.path()), alone);

    write_text(temp.path() / "sweeps/120.csv", sweep_of("1E", 20, "0,x,0\n"));
    write_text(temp.path() / "sweeps/109.csv", sweep_of("1E", 9, "0,0,y\n"));
    const auto complaint = [&]() -> std::string {
        try {
            read_run(temp.path());
        } catch (const DataError& error) {
            return error.what();
        }
        return "read";
    };
    const std::string expected =
        (temp.path() / "sweeps/109.csv").string() + ":5: column rear: \"y\" isn't a number";
    for (int i = 0; i < 20; ++i) CHECK(complaint() == expected);
    on_one_core([&] { CHECK(complaint() == expected); });
}

TEST_CASE("runs that other programs made are read", "[run][run_folder]") {
    const char* named = std::getenv("LOBEWRIGHT_CASES");
    const fs::path cases =
        named != nullptr ? fs::path(named) : fs::path(LOBEWRIGHT_SOURCE_DIR) / "../shared/cases";
    if (!fs::is_directory(cases)) {
        WARN("skipped: no folder " << cases << "; LOBEWRIGHT_CASES names another");
        return;
    }
    int runs = 0;
    for (const auto& entry : fs::directory_iterator(cases)) {
        for (const char* side : {"ref", "used"}) {
            if (!fs::is_directory(entry.path() / side)) continue;
            INFO(entry.path() / side);
            const Run run = read_run(entry.path() / side);
            CHECK(run.sweeps.size() >= run.lobes.size());
            const TempFolder temp;
            write_run(run, temp.path() / "copy");
            require_same_run(read_run(temp.path() / "copy"), run);
            ++runs;
        }
    }
    CHECK(runs > 0);
}