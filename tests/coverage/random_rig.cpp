#include "tests/coverage/random_rig.hpp"

#include <array>
#include <cstdint>

namespace lobewright {

RigModel random_rig(const CoverageOptions& options, double noise_mm, Random& random) {
    RigModel rig;
    const std::array<std::int64_t, 3> counts{3600, 7200, 14400};
    rig.info.counts_per_rev = counts[random.below(3)];
    rig.info.direction = random.below(4) == 0 ? -1 : 1;
    rig.info.front_z_mm = -4.0;
    rig.info.rear_z_mm = 4.0;
    rig.info.resolution_mm = options.coarse_step ? 0.01 : 0.0005;
    rig.info.error_limit_mm = options.indicator_error ? (random.below(2) == 0 ? 0.001 : 0.002) : 0.0;
    rig.info.temperature_c = 20.5;
    rig.index_phase_deg = random.uniform(-180.0, 180.0);
    rig.setup = {random.uniform(-0.01, 0.01), random.uniform(-0.01, 0.01), 0.0, 0.0};
    rig.datum = DatumModel{};
    rig.zero_mm = {random.uniform(-0.02, 0.02), random.uniform(-0.02, 0.02)};
    rig.noise_mm = noise_mm;
    const double drift = options.table ? 0.0 : random.uniform(-0.0005, 0.0005);
    rig.drift_mm_per_min = {drift, drift};
    rig.walk_mm_per_root_min = options.walk_mm_per_root_min;
    if (options.table) {
        rig.sampling = Sampling::by_hand;
        rig.angle_column = true;
        rig.info.counts_per_rev.reset();
    }
    if (options.round_tip) {
        rig.info.tip = random.below(2) == 0 ? Tip::point : Tip::roller;
        if (rig.info.tip == Tip::roller) rig.info.tip_radius_mm = random.uniform(2.0, 8.0);
    }
    return rig;
}

}  // namespace lobewright
