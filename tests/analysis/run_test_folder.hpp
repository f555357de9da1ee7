// run_test_folder.hpp: a run folder of our own invention for the tests of analysis/run, and where to put it.
#pragma once

#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

#include "tests/temp_folder.hpp"

namespace lobewright_test {

using lobewright::tests::TempFolder;

inline void write_text(const std::filesystem::path& file, const std::string& text) {
    std::filesystem::create_directories(file.parent_path());
    std::ofstream(file, std::ios::binary) << text;
}

inline std::string read_text(const std::filesystem::path& file) {
    std::ostringstream text;
    text << std::ifstream(file, std::ios::binary).rdbuf();
    return text.str();
}

/// The text with its first `from` replaced; the test is wrong when there is none.
inline std::string replaced(std::string text, const std::string& from, const std::string& to) {
    const std::size_t at = text.find(from);
    if (at == std::string::npos) throw std::logic_error("the sample holds no " + from);
    return text.replace(at, from.size(), to);
}

/// Every key that docs/run-folder.md has, each with a value of its own.
inline const std::string full_toml = R"(format = "lobewright-run/1"
units = "mm"

[run]
id = "launch-4-used"
taken = 2026-02-03T10:15:00Z
condition = "used"
hours = 410.5
operator = "bench 2"
note = "wiped \"dry\"\nthen swept"

[cam]
part = "LE4-118"
follower = "flat"
follower_radius = 0.0
retention = "thrust-plate"
material = "chilled iron"
case_depth = 1.2

[tappet]
diameter = 22.0
crown_radius = 1270

[valvetrain]
rocker_ratio = 1.5
seat_force_n = 350.0
rate_n_per_mm = 45.0

[rig]
counts_per_rev = 14400
direction = -1
zero_deg = 12.5
tip = "point"
tip_radius = 1.5
front_z = -4.25
rear_z = 4.5
resolution = 0.0005
error_limit = 0.002
temperature_c = 20.5

[datum]
method = "end-for-end"
rear_minus_front = -0.0012
u = 0.0004

[[journal]]
name = "J1"
z = 10.0
diameter = 47.6
v_angle_deg = 90.0

[[journal]]
name = "J2"
z = 110.0

[[lobe]]
name = "1E"
kind = "exhaust"
cylinder = 1
z = 30.0
width = 12.0
base_diameter = 28.0
tappet = "T1"

[[lobe.stripe]]
at = "nose"
width = 9.5
side = "rear"

[[lobe.stripe]]
at = "heel"
width = 4.0
side = "neither"

[[lobe]]
name = "1I"
kind = "intake"
z = 52.0
width = 11.5
)";

inline const std::string plain_sweep = R"(# lobewright-sweep/1
# of: 1E
# pass: 1
t_us,count,front,rear
0,12,0.0010,-0.0005
833,13,0.0015,0.0000
1666,15,-0.0120,10.0005
)";

inline const std::string journal_sweep =
    "# lobewright-sweep/1\n# of: J1\nangle_deg,rear\n0,0.001\n120,0.002\n240,0.0015\n";

/// A sweep by counts with these rows.
inline std::string sweep_of(const std::string& of, int pass, const std::string& rows = "0,0.001,0.002\n") {
    return "# lobewright-sweep/1\n# of: " + of + "\n# pass: " + std::to_string(pass) +
           "\ncount,front,rear\n" + rows;
}

/// full_toml with sweeps of 1E and J1.
inline std::filesystem::path make_run(const std::filesystem::path& folder) {
    write_text(folder / "run.toml", full_toml);
    write_text(folder / "sweeps" / "a.csv", plain_sweep);
    write_text(folder / "sweeps" / "b.csv", journal_sweep);
    return folder;
}

}  // namespace lobewright_test
