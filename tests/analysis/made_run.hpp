// made_run.hpp: runs written from closed forms, for tests that know what every reading is. No simulator
// stands between the formula and the rows: one lobe, one sweep, a row every few tenths of a degree at exact
// angles.
#pragma once

#include <cmath>
#include <cstdint>
#include <functional>
#include <numbers>
#include <string>

#include "analysis/run/run.hpp"
#include "analysis/units.hpp"
#include "rig/model/random.hpp"

namespace lobewright::tests {

inline constexpr double degree = std::numbers::pi / 180.0;

/// What an ideal flat tip reads at a cam angle (rad) and a place along the lobe (mm from its middle), mm.
using Reading = std::function<double(double angle_rad, double z_mm)>;

struct Making {
    double step_deg = 0.5;  // rows once round from angle 0
    double noise_mm = 0.0;  // white, each indicator its own
    std::uint64_t seed = 1;
};

/// An angle folded about zero, degrees.
inline double from_nose_deg(double angle_rad, double nose_deg) {
    return wrapped_deg(deg_from_rad(angle_rad) - nose_deg);
}

/// A run of the lobe "1E", 12 mm wide with a base diameter of 30 mm, on indicators 8 mm apart that make no
/// error of their own and were set to a front-to-rear zero without uncertainty.
inline Run made_run(const Reading& reading, const Making& making = {}) {
    Run run;
    run.folder = "made";
    run.info.id = "made";
    run.rig.front_z_mm = -4.0;
    run.rig.rear_z_mm = 4.0;
    run.rig.error_limit_mm = 0.0;
    run.rig.temperature_c = 20.0;
    run.datum = DatumInfo{};
    Lobe lobe;
    lobe.name = "1E";
    lobe.kind = LobeKind::exhaust;
    lobe.width_mm = 12.0;
    lobe.base_diameter_mm = 30.0;
    run.lobes.push_back(lobe);
    Sweep sweep;
    sweep.file = "made/sweeps/1E.csv";
    sweep.of = "1E";
    Random random(making.seed);
    const auto rows = static_cast<int>(std::lround(360.0 / making.step_deg));
    for (int i = 0; i < rows; ++i) {
        const double angle_deg = making.step_deg * i;
        const double rad = rad_from_deg(angle_deg);
        sweep.angle_deg.push_back(angle_deg);
        sweep.front_mm.push_back(reading(rad, run.rig.front_z_mm) + making.noise_mm * random.normal());
        sweep.rear_mm.push_back(reading(rad, run.rig.rear_z_mm) + making.noise_mm * random.normal());
    }
    run.sweeps.push_back(sweep);
    return run;
}

}  // namespace lobewright::tests
