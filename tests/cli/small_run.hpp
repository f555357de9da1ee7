// small_run.hpp: run folders of a small invented cam with known truth, for tests of the whole program: two
// lobes, a row a degree, readings in whole indicator steps, no other error. Written as text here and not by
// write_run, so that the program's reading is not checked against its own writing.
#pragma once

#include <cmath>
#include <filesystem>
#include <fstream>
#include <numbers>
#include <string>

#include <fmt/format.h>

namespace lobewright::tests {

struct SmallRun {
    std::string id = "cam-new";
    std::string condition = "new";
    std::string follower = "flat";
    bool inches = false;  // the folder's unit; every length below is in mm
    bool datum = true;
    bool base_diameter = true;
    double lift_1e_mm = 5.5;
    double lift_1i_mm = 5.2;
    double taper_mm = 0.02;  // over the lobe's width, all round, high to the rear
    double zero_deg = 0.0;   // where the index was on this occasion
};

/// Lift of a lobe whose nose is at 0 and whose flanks are the 4-5-6-7 polynomial over 60 cam degrees.
inline double small_lobe_lift(double angle_deg, double lift_mm) {
    const double from_nose_deg = std::abs(std::remainder(angle_deg, 360.0));
    if (from_nose_deg >= 60.0) return 0.0;
    const double x = 1.0 - from_nose_deg / 60.0;
    return lift_mm * x * x * x * x * (35.0 - 84.0 * x + 70.0 * x * x - 20.0 * x * x * x);
}

inline void write_small_sweep(const std::filesystem::path& file, const SmallRun& run, const std::string& lobe,
                              double nose_deg, double lift_mm) {
    const double per = run.inches ? 25.4 : 1.0;
    const double step = run.inches ? 0.00002 : 0.0005;
    const double tips_apart_of_width = 8.0 / 12.0;
    std::ofstream out(file);
    out << "# lobewright-sweep/1\n# of: " << lobe << "\nangle_deg,front,rear\n";
    for (int deg = 0; deg < 360; ++deg) {
        const double lift = small_lobe_lift(deg - nose_deg - run.zero_deg, lift_mm);
        const double half = 0.5 * run.taper_mm * tips_apart_of_width;
        const auto reading = [&](double mm) { return std::round(mm / per / step) * step; };
        out << fmt::format("{},{:.5f},{:.5f}\n", deg, reading(lift - half), reading(lift + half));
    }
}

inline void write_small_run(const std::filesystem::path& folder, const SmallRun& run) {
    std::filesystem::create_directories(folder / "sweeps");
    const double per = run.inches ? 25.4 : 1.0;
    std::ofstream out(folder / "run.toml");
    out << fmt::format("format = \"lobewright-run/1\"\nunits = \"{}\"\n", run.inches ? "in" : "mm");
    out << fmt::format("[run]\nid = \"{}\"\ntaken = 2026-02-03T10:15:00Z\ncondition = \"{}\"\n", run.id,
                       run.condition);
    out << fmt::format("[cam]\nfollower = \"{}\"\nretention = \"thrust-plate\"\ncase_depth = {:.9f}\n",
                       run.follower, 1.2 / per);
    if (run.follower == "roller") out << fmt::format("follower_radius = {:.9f}\n", 8.0 / per);
    out << fmt::format("[rig]\ntip = \"flat\"\nfront_z = {:.9f}\nrear_z = {:.9f}\nresolution = {:.9f}\n",
                       -4.0 / per, 4.0 / per, run.inches ? 0.00002 : 0.0005);
    out << fmt::format("error_limit = {:.9f}\n", 0.001 / per);
    if (run.datum)
        out << fmt::format("[datum]\nmethod = \"bar\"\nrear_minus_front = 0.0\nu = {:.9f}\n", 0.0003 / per);
    double z = 30.0;
    for (const char* lobe : {"1E", "1I"}) {
        out << fmt::format(
            "[[lobe]]\nname = \"{}\"\nkind = \"{}\"\nz = {:.9f}\nwidth = {:.9f}\ntappet = \"T{}\"\n", lobe,
            lobe[1] == 'E' ? "exhaust" : "intake", z / per, 12.0 / per, lobe);
        if (run.base_diameter) out << fmt::format("base_diameter = {:.9f}\n", 28.0 / per);
        z += 22.0;
    }
    write_small_sweep(folder / "sweeps" / "a.csv", run, "1E", 100.0, run.lift_1e_mm);
    write_small_sweep(folder / "sweeps" / "b.csv", run, "1I", 205.0, run.lift_1i_mm);
}

/// The same cam used, lobe 1I worn by 0.4 mm of lift.
inline SmallRun worn() {
    SmallRun run;
    run.id = "cam-used";
    run.condition = "used";
    run.lift_1i_mm = 4.8;
    return run;
}

}  // namespace lobewright::tests
