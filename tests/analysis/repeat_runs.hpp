// repeat_runs.hpp: runs of one simulated cam whose lift and taper differ from pass to pass and from set-up to
// set-up by what the test drew: the truth of a repeatability study.
#pragma once

#include <string>
#include <vector>

#include "analysis/run/run.hpp"
#include "tests/analysis/swept_cams.hpp"

namespace lobewright::tests {

struct RepeatScene {
    std::size_t lobes = 2;
    std::vector<std::size_t> passes{2, 2};  // by run
    std::vector<std::string> operators;     // by run; empty: not given
    double pass_lift_mm = 0.0;              // standard deviations of what is added to a lobe's lift
    double set_up_lift_mm = 0.0;            // each lobe its own
    double set_up_taper_mm = 0.0;           // of what is added to the taper of all lobes alike
    double operator_lift_mm = 0.0;          // of all lobes alike
    double error_limit_mm = 0.0;  // as the run says; the simulated indicators have no error of their own
    bool datum = true;
    std::uint64_t seed = 1;
};

struct RepeatTruth {
    std::vector<std::vector<double>> set_up_lift_mm;  // by lobe, then run
    std::vector<double> set_up_taper_mm;              // by run
    std::vector<Run> runs;
};

/// One sweep of a lobe is a simulated run of its own, so that each can have its own cam.
inline RepeatTruth repeat_runs(const RepeatScene& scene) {
    Random random(scene.seed);
    const CamModel cam = launch_lobes(scene.lobes);
    RigModel rig;
    rig.info.counts_per_rev = 3600;
    rig.info.front_z_mm = -4.0;
    rig.info.rear_z_mm = 4.0;
    rig.info.resolution_mm = 0.0001;
    rig.info.error_limit_mm = 0.0;
    rig.noise_mm = 0.0002;
    rig.datum = DatumModel{DatumMethod::bar, 0.0, 0.0};
    if (!scene.datum) rig.datum.reset();
    HandModel hand;
    hand.turns_max = 1.2;

    RepeatTruth out;
    out.set_up_lift_mm.resize(scene.lobes);
    for (std::size_t r = 0; r < scene.passes.size(); ++r) {
        rig.index_phase_deg = random.uniform(-180.0, 180.0);
        rig.setup = {random.uniform(-0.01, 0.01), random.uniform(-0.01, 0.01), 0.0, 0.0};
        // An operator's effect is drawn from the name's first letter, so that it is the same in each of the
        // operator's runs.
        double by_operator = 0.0;
        if (!scene.operators.empty()) {
            Random own(scene.seed, static_cast<std::uint64_t>(scene.operators[r].front()));
            by_operator = scene.operator_lift_mm * own.normal();
        }
        out.set_up_taper_mm.push_back(scene.set_up_taper_mm * random.normal());
        for (auto& lobe : out.set_up_lift_mm) lobe.push_back(scene.set_up_lift_mm * random.normal());
        std::vector<Sweep> sweeps;
        Run run;
        for (std::size_t p = 0; p < scene.passes[r]; ++p) {
            CamModel now = cam;
            for (std::size_t l = 0; l < scene.lobes; ++l) {
                now.lobes[l].lift_mm +=
                    by_operator + out.set_up_lift_mm[l][r] + scene.pass_lift_mm * random.normal();
                now.lobes[l].taper_mm += out.set_up_taper_mm[r];
            }
            run = simulate_run(now, rig, hand, {}, {}, random.bits());
            for (Sweep& sweep : run.sweeps) {
                sweep.pass = static_cast<int>(p) + 1;
                sweeps.push_back(std::move(sweep));
            }
        }
        run.sweeps = std::move(sweeps);
        run.folder = "made-" + std::to_string(r);
        run.info.id = run.folder.string();
        run.info.taken = "2026-02-03T10:15:00Z";
        run.info.condition = Condition::as_new;
        run.rig.error_limit_mm = scene.error_limit_mm;
        if (!scene.operators.empty()) run.info.operator_name = scene.operators[r];
        out.runs.push_back(std::move(run));
    }
    return out;
}

}  // namespace lobewright::tests
