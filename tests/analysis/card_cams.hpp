// card_cams.hpp: runs of the launch engine's cam on a good rig, for tests of analysis/card.
#pragma once

#include <algorithm>
#include <optional>
#include <string>
#include <vector>

#include "analysis/card/card.hpp"
#include "rig/model/example_cams.hpp"
#include "rig/model/simulate.hpp"

namespace lobewright::tests {

inline RigModel good_rig() {
    RigModel rig;
    rig.info.counts_per_rev = 14400;
    rig.info.front_z_mm = -4.0;
    rig.info.rear_z_mm = 4.0;
    rig.info.resolution_mm = 0.0001;
    rig.info.error_limit_mm = 0.0;
    rig.noise_mm = 0.0002;
    rig.index_phase_deg = 17.0;
    return rig;
}

/// The same with a front-to-rear zero.
inline RigModel zeroed_rig() {
    RigModel rig = good_rig();
    rig.datum = DatumModel{DatumMethod::bar, 0.00005, 0.0};
    return rig;
}

/// Lobes of the first `cylinders` of the launch engine, without V-blocks.
inline CamModel launch_cam(std::size_t cylinders = 4) {
    CamModel cam = launch_engine_cam();
    cam.lobes.resize(2 * cylinders);
    cam.journals.clear();
    for (LobeModel& lobe : cam.lobes) lobe.form.clear();
    return cam;
}

inline Run run_of(const CamModel& cam, const RigModel& rig = good_rig()) {
    return simulate_run(cam, rig, {}, {}, {}, 7);
}

inline Card card_at(const Run& run, std::optional<double> tdc_deg = {}) {
    CardOptions options;
    options.tdc_deg = tdc_deg;
    return card_of(run, options);
}

inline LobeModel& named(CamModel& cam, const std::string& name) {
    return *std::find_if(cam.lobes.begin(), cam.lobes.end(),
                         [&](const LobeModel& l) { return l.lobe.name == name; });
}

inline bool said(const std::vector<std::string>& notes, const std::string& text) {
    return std::any_of(notes.begin(), notes.end(),
                       [&](const std::string& note) { return note.find(text) != std::string::npos; });
}

// The launch engine's cylinder 1: exhaust nose at 125, intake 108 later, dead centre between them at 179, all 17 later by
// the rig's index. Noses are where the lift is largest; the flanks' middle lies a little later, on both kinds alike.
inline constexpr double tdc_deg = 179.0 + 17.0;

}  // namespace lobewright::tests
