// swept_cams.hpp: the launch engine's cam on benches that tests of whole runs share.
#pragma once

#include <cstdint>
#include <string>

#include <fmt/format.h>

#include "rig/model/example_cams.hpp"
#include "rig/model/simulate.hpp"

namespace lobewright::tests {

/// The launch engine's first lobes, new, without V-blocks.
inline CamModel launch_lobes(std::size_t count) {
    CamModel cam = launch_engine_cam();
    cam.journals.clear();
    cam.lobes.resize(count);
    return cam;
}

/// Indicators good to 0.001 mm, noise of half a micrometre, a datum bar.
inline RigModel ordinary_bench() {
    RigModel rig;
    rig.info.counts_per_rev = 7200;
    rig.info.front_z_mm = -4.0;
    rig.info.rear_z_mm = 4.0;
    rig.info.resolution_mm = 0.0005;
    rig.info.error_limit_mm = 0.001;
    rig.info.temperature_c = 20.5;
    rig.noise_mm = 0.0005;
    rig.index_phase_deg = 21.0;
    rig.setup = {0.006, -0.004, 0.0, 0.0};
    rig.datum = DatumModel{};
    rig.zero_mm = {0.011, -0.007};
    return rig;
}

/// A better bench than any shop's: what is left of a figure's error is the method's.
inline RigModel quiet_bench(double phase_deg) {
    RigModel rig;
    rig.info.counts_per_rev = 14400;
    rig.info.front_z_mm = -4.0;
    rig.info.rear_z_mm = 4.0;
    rig.info.resolution_mm = 0.0001;
    rig.info.error_limit_mm = 0.0;
    rig.info.temperature_c = 20.0;
    rig.datum = DatumModel{DatumMethod::bar, 0.0001, 0.0};
    rig.noise_mm = 0.0002;
    rig.index_phase_deg = phase_deg;
    return rig;
}

/// A run of the cam, named after its seed.
inline Run swept(const CamModel& cam, const RigModel& rig, std::uint64_t seed, const HandModel& hand = {}) {
    RunPlan plan;
    plan.info.id = fmt::format("run-{}", seed);
    plan.info.taken = "2026-03-02T10:15:00Z";
    return simulate_run(cam, rig, hand, {}, plan, seed);
}

}  // namespace lobewright::tests
