// analysis/run/run_folder.hpp: what stands in a folder is what read_run gives; what write_run was given comes
// back.
#include "analysis/run/run_folder.hpp"

#include <array>
#include <charconv>
#include <csignal>
#include <cstdlib>
#include <random>
#include <sched.h>
#include <sys/resource.h>

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "run_test_folder.hpp"

using namespace lobewright;
using namespace lobewright_test;
namespace fs = std::filesystem;

namespace {

void require_same_sweep(const Sweep& a, const Sweep& b) {
    REQUIRE(a.of == b.of);
    REQUIRE(a.pass == b.pass);
    REQUIRE((a.t_us == b.t_us && a.count == b.count && a.angle_deg == b.angle_deg));
    REQUIRE((a.front_mm == b.front_mm && a.rear_mm == b.rear_mm));
}

void require_same_lobe(const Lobe& a, const Lobe& b) {
    REQUIRE(a.name == b.name);
    REQUIRE(a.kind == b.kind);
    REQUIRE(a.cylinder == b.cylinder);
    REQUIRE((a.z_mm == b.z_mm && a.width_mm == b.width_mm && a.base_diameter_mm == b.base_diameter_mm));
    REQUIRE(a.tappet == b.tappet);
    REQUIRE(a.stripes.size() == b.stripes.size());
    for (std::size_t i = 0; i < a.stripes.size(); ++i) {
        REQUIRE(a.stripes[i].at == b.stripes[i].at);
        REQUIRE(a.stripes[i].width_mm == b.stripes[i].width_mm);
        REQUIRE(a.stripes[i].side == b.stripes[i].side);
    }
}

void require_same_rig(const RigInfo& a, const RigInfo& b) {
    REQUIRE(a.counts_per_rev == b.counts_per_rev);
    REQUIRE((a.direction == b.direction && a.zero_deg == b.zero_deg && a.tip == b.tip));
    REQUIRE(
        (a.tip_radius_mm == b.tip_radius_mm && a.front_z_mm == b.front_z_mm && a.rear_z_mm == b.rear_z_mm));
    REQUIRE((a.resolution_mm == b.resolution_mm && a.error_limit_mm == b.error_limit_mm));
    REQUIRE(a.temperature_c == b.temperature_c);
}

/// Every field, lengths to the last bit; not the paths.
void require_same_run(const Run& a, const Run& b) {
    REQUIRE(a.units == b.units);
    REQUIRE((a.info.id == b.info.id && a.info.taken == b.info.taken && a.info.condition == b.info.condition));
    REQUIRE((a.info.hours == b.info.hours && a.info.operator_name == b.info.operator_name));
    REQUIRE(a.info.note == b.info.note);
    REQUIRE(
        (a.cam.part == b.cam.part && a.cam.follower == b.cam.follower && a.cam.retention == b.cam.retention));
    REQUIRE((a.cam.follower_radius_mm == b.cam.follower_radius_mm && a.cam.material == b.cam.material));
    REQUIRE(a.cam.case_depth_mm == b.cam.case_depth_mm);
    REQUIRE(a.tappet.has_value() == b.tappet.has_value());
    if (a.tappet) REQUIRE(a.tappet->diameter_mm == b.tappet->diameter_mm);
    if (a.tappet) REQUIRE(a.tappet->crown_radius_mm == b.tappet->crown_radius_mm);
    REQUIRE(a.valvetrain.has_value() == b.valvetrain.has_value());
    if (a.valvetrain) REQUIRE(a.valvetrain->rocker_ratio == b.valvetrain->rocker_ratio);
    if (a.valvetrain) REQUIRE(a.valvetrain->seat_force_n == b.valvetrain->seat_force_n);
    if (a.valvetrain) REQUIRE(a.valvetrain->rate_n_per_mm == b.valvetrain->rate_n_per_mm);
    require_same_rig(a.rig, b.rig);
    REQUIRE(a.datum.has_value() == b.datum.has_value());
    if (a.datum) REQUIRE(a.datum->method == b.datum->method);
    if (a.datum) REQUIRE(a.datum->rear_minus_front_mm == b.datum->rear_minus_front_mm);
    if (a.datum) REQUIRE(a.datum->u_mm == b.datum->u_mm);
    REQUIRE(a.journals.size() == b.journals.size());
    for (std::size_t i = 0; i < a.journals.size(); ++i) {
        REQUIRE((a.journals[i].name == b.journals[i].name && a.journals[i].z_mm == b.journals[i].z_mm));
        REQUIRE(a.journals[i].diameter_mm == b.journals[i].diameter_mm);
        REQUIRE(a.journals[i].v_angle_deg == b.journals[i].v_angle_deg);
    }
    REQUIRE(a.lobes.size() == b.lobes.size());
    for (std::size_t i = 0; i < a.lobes.size(); ++i) require_same_lobe(a.lobes[i], b.lobes[i]);
    REQUIRE(a.sweeps.size() == b.sweeps.size());
    for (std::size_t i = 0; i < a.sweeps.size(); ++i) require_same_sweep(a.sweeps[i], b.sweeps[i]);
}

std::string sweep_of(const std::string& of, int pass, const std::string& rows = "0,0.001,0.002\n") {
    return "# lobewright-sweep/1\n# of: " + of + "\n# pass: " + std::to_string(pass) +
           "\ncount,front,rear\n" + rows;
}

/// Names of what is in the folder and below it, sorted.
std::vector<std::string> names_below(const fs::path& folder) {
    std::vector<std::string> names;
    for (const auto& entry : fs::recursive_directory_iterator(folder))
        names.push_back(fs::relative(entry.path(), folder).string());
    std::sort(names.begin(), names.end());
    return names;
}

/// A decimal with up to `most_decimals` decimals, as a person or a program would put it into a file.
std::string random_decimal(std::mt19937& random, int most_decimals) {
    std::array<char, 64> buffer{};
    const double value = static_cast<double>(random()) / 4294967296.0 * 50.0 + 1e-3;
    const int decimals = 3 + static_cast<int>(random() % static_cast<unsigned>(most_decimals - 2));
    const auto end =
        std::to_chars(buffer.begin(), buffer.end(), value, std::chars_format::fixed, decimals).ptr;
    return {buffer.data(), end};
}

/// A run whose lengths, in either unit, all are random decimals.
std::string random_toml(std::mt19937& random, const std::string& units) {
    std::string text = full_toml;
    text = replaced(text, "\"mm\"", '"' + units + '"');
    for (const char* key : {"case_depth = 1.2", "diameter = 22.0", "crown_radius = 1270", "tip_radius = 1.5",
                            "front_z = -4.25", "rear_z = 4.5", "resolution = 0.0005", "error_limit = 0.002",
                            "rear_minus_front = -0.0012", "u = 0.0004", "z = 10.0", "diameter = 47.6",
                            "z = 30.0", "width = 12.0", "base_diameter = 28.0", "width = 9.5"}) {
        const std::string found = key;
        const std::string name = found.substr(0, found.find('=') + 2);
        const std::string sign = found.find("= -") == std::string::npos ? "" : "-";
        text = replaced(text, fmt::format("\n{}", found),
                        fmt::format("\n{}{}{}", name, sign, random_decimal(random, 16)));
    }
    return text;
}

}  // namespace

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

TEST_CASE("the least run.toml has the defaults of formats.md", "[run][run_folder]") {
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

TEST_CASE("every word of formats.md is read and has its word", "[run][run_folder]") {
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

TEST_CASE("a run that is written and read is the same run", "[run][run_folder]") {
    const TempFolder temp;
    const std::string units = GENERATE("mm", "in");
    const fs::path folder = make_run(temp.path() / "run");
    write_text(folder / "run.toml", replaced(full_toml, "\"mm\"", '"' + units + '"'));
    const Run run = read_run(folder);
    write_run(run, temp.path() / "copy");
    require_same_run(read_run(temp.path() / "copy"), run);
    CHECK(names_below(temp.path() / "copy") ==
          std::vector<std::string>{"run.toml", "sweeps", "sweeps/s000.csv", "sweeps/s001.csv"});
    CHECK(read_text(temp.path() / "copy/sweeps/s000.csv") == plain_sweep);
}

TEST_CASE("any decimals in run.toml come back to the last bit", "[run][run_folder]") {
    std::mt19937 random(4);
    const std::string units = GENERATE("mm", "in");
    for (int i = 0; i < 200; ++i) {
        const TempFolder temp;
        const fs::path folder = make_run(temp.path() / "run");
        const std::string text = random_toml(random, units);
        INFO(text);
        write_text(folder / "run.toml", text);
        write_text(folder / "sweeps/c.csv",
                   sweep_of("1I", 1, "5," + random_decimal(random, 12) + ",-0.000000000001\n"));
        const Run run = read_run(folder);
        write_run(run, temp.path() / "copy");
        require_same_run(read_run(temp.path() / "copy"), run);
    }
}

TEST_CASE("a written run.toml is as formats.md shows it", "[run][run_folder]") {
    const TempFolder temp;
    write_run(read_run(make_run(temp.path() / "run")), temp.path() / "copy");
    CHECK(read_text(temp.path() / "copy/run.toml") == replaced(full_toml, "1270\n", "1270.0\n"));
}

TEST_CASE("lengths carry the decimals of the resolution", "[run][run_folder]") {
    const TempFolder temp;
    const fs::path folder = make_run(temp.path() / "run");
    Run run = read_run(folder);
    const auto row_written = [&](const std::string& name) {
        write_run(run, temp.path() / name);
        const std::string text = read_text(temp.path() / name / "sweeps/s000.csv");
        return text.substr(62, text.find('\n', 62) - 62);
    };
    CHECK(row_written("step of 0.0005") == "0,12,0.0010,-0.0005");
    run.rig.resolution_mm = 0.01;
    CHECK(row_written("readings finer than the step") == "0,12,0.0010,-0.0005");
    run.rig.resolution_mm = 0.00001;
    CHECK(row_written("step of 0.00001") == "0,12,0.00100,-0.00050");
    run.rig.resolution_mm.reset();
    CHECK(row_written("no step given") == "0,12,0.0010000,-0.0005000");
}

TEST_CASE("writing twice gives the same bytes", "[run][run_folder]") {
    const TempFolder temp;
    const Run run = read_run(make_run(temp.path() / "run"));
    write_run(run, temp.path() / "one");
    write_run(run, temp.path() / "two/");
    REQUIRE(names_below(temp.path() / "one") == names_below(temp.path() / "two"));
    for (const std::string file : {"run.toml", "sweeps/s000.csv", "sweeps/s001.csv"})
        CHECK(read_text(temp.path() / "one" / file) == read_text(temp.path() / "two" / file));
}

TEST_CASE("a folder that holds captures becomes a run", "[run][run_folder]") {
    const TempFolder temp;
    const Run run = read_run(make_run(temp.path() / "run"));
    write_text(temp.path() / "copy/captures/bench.cap", "raw");
    write_run(run, temp.path() / "copy");
    require_same_run(read_run(temp.path() / "copy"), run);
    CHECK(names_below(temp.path() / "copy") ==
          std::vector<std::string>{"captures", "captures/bench.cap", "run.toml", "sweeps", "sweeps/s000.csv",
                                   "sweeps/s001.csv"});
}

TEST_CASE("a run is never written over another", "[run][run_folder]") {
    const TempFolder temp;
    const Run run = read_run(make_run(temp.path() / "run"));
    const std::string before = read_text(temp.path() / "run/run.toml");
    CHECK_THROWS_AS(write_run(run, temp.path() / "run"), IoError);
    fs::remove(temp.path() / "run/run.toml");
    CHECK_THROWS_AS(write_run(run, temp.path() / "run"), IoError);  // its sweeps are still there
    CHECK(names_below(temp.path()) ==
          std::vector<std::string>{"run", "run/sweeps", "run/sweeps/a.csv", "run/sweeps/b.csv"});
}

TEST_CASE("a run that can't be written whole leaves nothing", "[run][run_folder]") {
    const TempFolder temp;
    Run run = read_run(make_run(temp.path() / "run"));
    const std::vector<std::string> before = names_below(temp.path());

    SECTION("no such parent") {
        CHECK_THROWS_AS(write_run(run, temp.path() / "none/copy"), IoError);
    }
    SECTION("the parent is a file") {
        CHECK_THROWS_AS(write_run(run, temp.path() / "run/run.toml/copy"), IoError);
    }
    SECTION("a file has the name") {
        CHECK_THROWS_AS(write_run(run, temp.path() / "run/sweeps/a.csv"), IoError);
    }
    SECTION("the disk takes no more") {
        run.sweeps[1].angle_deg.assign(20000, 1.5);
        run.sweeps[1].rear_mm.assign(20000, 0.5);
        rlimit old{};
        REQUIRE(::getrlimit(RLIMIT_FSIZE, &old) == 0);
        const auto old_handler = std::signal(SIGXFSZ, SIG_IGN);
        rlimit tight = old;
        tight.rlim_cur = 4096;
        REQUIRE(::setrlimit(RLIMIT_FSIZE, &tight) == 0);
        std::string message;
        try {
            write_run(run, temp.path() / "copy");
        } catch (const IoError& error) {
            message = error.what();
        }
        REQUIRE(::setrlimit(RLIMIT_FSIZE, &old) == 0);
        std::signal(SIGXFSZ, old_handler);
        CHECK(message.find("s001.csv: can't be written") != std::string::npos);
    }
    SECTION("a reading that isn't a number") {
        run.sweeps[1].rear_mm[0] = std::nan("");
        CHECK_THROWS_AS(write_run(run, temp.path() / "copy"), DataError);
    }
    SECTION("one pass twice") {
        run.sweeps.push_back(run.sweeps[0]);
        CHECK_THROWS_AS(write_run(run, temp.path() / "copy"), DataError);
    }
    SECTION("a time that isn't one") {
        run.info.taken = "yesterday";
        CHECK_THROWS_AS(write_run(run, temp.path() / "copy"), DataError);
    }
    SECTION("a name that isn't text") {
        run.lobes[1].name = "\xff";
        CHECK_THROWS_AS(write_run(run, temp.path() / "copy"), DataError);
    }
    CHECK(names_below(temp.path()) == before);
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
