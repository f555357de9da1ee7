// card_cams.hpp: runs of the launch engine's cam on a good rig, for tests of analysis/card.
#pragma once

#include <algorithm>
#include <optional>
#include <string>
#include <vector>

#include "analysis/card/card.hpp"
#include "tests/analysis/swept_cams.hpp"

namespace lobewright::tests {

/// A quiet bench that took no front-to-rear zero and no temperature.
inline RigModel good_rig() {
    RigModel rig = quiet_bench(17.0);
    rig.info.temperature_c.reset();
    rig.datum.reset();
    return rig;
}

/// The same with a front-to-rear zero.
inline RigModel zeroed_rig() {
    RigModel rig = good_rig();
    rig.datum = DatumModel{DatumMethod::bar, 0.00005, 0.0};
    return rig;
}

/// Lobes of the first `cylinders` of the launch engine, as round as they are drawn.
inline CamModel launch_cam(std::size_t cylinders = 4) {
    CamModel cam = launch_lobes(2 * cylinders);
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
