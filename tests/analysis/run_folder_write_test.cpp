// analysis/run/run_folder.hpp, writing: what write_run was given comes back, whole or not at all.
#include <array>
#include <charconv>
#include <cmath>
#include <csignal>
#include <random>
#include <sys/resource.h>

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/run/run_folder.hpp"
#include "run_comparison.hpp"
#include "run_test_folder.hpp"

using namespace lobewright;
using namespace lobewright_test;
namespace fs = std::filesystem;

namespace {

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

TEST_CASE("a written run.toml is as documented", "[run][run_folder]") {
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
