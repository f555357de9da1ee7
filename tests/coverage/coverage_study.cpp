#include "tests/coverage/coverage_study.hpp"

#include <algorithm>
#include <cmath>

#include "analysis/compare.hpp"
#include "analysis/stated_figures.hpp"
#include "rig/model/example_cams.hpp"
#include "rig/model/simulate.hpp"
#include "rig/model/truth.hpp"
#include "tests/coverage/random_rig.hpp"

namespace lobewright {

Measured figure_of(const LobeFigures& figures, const std::string& key) {
    return stated_figure(figures, key);
}

namespace {

struct Scene {
    CamModel reference;
    CamModel used;
    RigModel reference_rig;
    RigModel used_rig;
    HandModel hand;
};

Wear random_wear(const LobeModel& lobe, Random& random) {
    switch (random.below(5)) {
        case 0:
            return nose_wear(random.uniform(0.01, 0.04), lobe.taper_mm, random.uniform(24.0, 36.0));
        case 1:
            return taper_lost_wear(random.uniform(0.005, 0.015), lobe.taper_mm, random.uniform(10.0, 16.0));
        case 2:
            return wiped_wear(random.uniform(0.1, 0.5));
        case 3:
            return even_wear(random.uniform(0.001, 0.01));
        default:
            return {WearShape::nose_cap, 0.0, 0.0, 30.0};
    }
}

/// Out of round by some 0.004 mm, or by the 0.002 mm that an unswept journal is taken for; bent between the V-blocks.
void roughen(JournalModel& journal, Journals kind, Random& random) {
    const double um = kind == Journals::swept ? 1e-3 : 0.5e-3;
    journal.form.clear();
    for (const int n : {2, 3, 5}) {
        journal.form.push_back({n, um * random.uniform(0.3, 1.0) / (n - 1.0), random.uniform(0.0, 360.0)});
    }
    if (journal.journal.v_angle_deg) return;
    journal.bend_x_mm = random.uniform(-0.02, 0.02);
    journal.bend_y_mm = random.uniform(-0.02, 0.02);
}

Scene random_scene(const CoverageOptions& options, Random& random) {
    Scene scene;
    scene.reference = launch_engine_cam();
    scene.reference.lobes.resize(3);
    if (options.journals == Journals::none) {
        scene.reference.journals.clear();
    } else {
        for (auto& journal : scene.reference.journals) roughen(journal, options.journals, random);
    }
    for (auto& lobe : scene.reference.lobes) {
        lobe.taper_mm = random.uniform(0.018, 0.028) * (random.below(2) == 0 ? 1.0 : -1.0);
        lobe.lift_mm = random.uniform(4.8, 6.2);
        if (random.below(2) == 0) lobe.form.clear();
    }
    scene.used = scene.reference;
    for (auto& lobe : scene.used.lobes) lobe.wear = {random_wear(lobe, random)};
    const double noise = options.coarse_step ? 0.001 : random.uniform(0.0003, 0.0007);
    scene.reference_rig = random_rig(options, noise, random);
    scene.used_rig = random_rig(options, noise, random);
    scene.hand.mean_deg_per_s = random.uniform(10.0, 20.0);
    scene.hand.turns_max = 2.2;
    return scene;
}

void add(FigureCoverage& to, const TrueFigure& truth, const Measured& found) {
    if (!std::isfinite(truth.value) || !found.known()) return;
    // Nothing worn, nothing found: both at a bound that neither can pass, where any interval holds.
    if (truth.value == 0.0 && found.value == 0.0) return;
    const double error = found.value - truth.value;
    ++to.count;
    to.inside += std::abs(error) <= found.u95;
    to.z_squares += found.u95 > 0.0 ? error * error / (found.u95 * found.u95) : 0.0;
    to.u95_sum += found.u95;
    to.error_squares += error * error;
}

/// Of the arc that the analysis states beside them.
void take_heel(LobeTruth& truth, const LobeFigures& found, const Scene& scene, bool axis_measured) {
    const auto& stated = found.base_circle;
    const LobeTruth heel =
        true_heel(scene.used, scene.used_rig, truth.name, stated.from_deg, stated.to_deg, axis_measured);
    truth.runout_front_mm = heel.runout_front_mm;
    truth.runout_rear_mm = heel.runout_rear_mm;
    truth.eccentricity_mm = heel.eccentricity_mm;
    truth.form_front_mm = heel.form_front_mm;
    truth.form_rear_mm = heel.form_rear_mm;
}

}  // namespace

std::map<std::string, FigureCoverage> study_coverage(const CoverageOptions& options) {
    std::map<std::string, FigureCoverage> out;
    for (int cam = 0; cam < options.cams; ++cam) {
        Random random(options.seed, static_cast<std::uint64_t>(cam));
        const Scene scene = random_scene(options, random);
        RunPlan plan;
        plan.lobe_passes = options.passes;
        plan.journal_passes = options.journals == Journals::swept ? 2 : 0;
        const Run reference =
            simulate_run(scene.reference, scene.reference_rig, scene.hand, {}, plan, random.bits());
        const Run used = simulate_run(scene.used, scene.used_rig, scene.hand, {}, plan, random.bits());
        CamTruth truth =
            true_figures(scene.reference, scene.reference_rig, scene.used, scene.used_rig, 0.003);
        const CamFigures found = compare_runs(reference, used);
        for (std::size_t i = 0; i < found.lobes.size(); ++i) {
            take_heel(truth.lobes[i], found.lobes[i], scene, options.journals == Journals::swept);
            for (const auto& field : lobe_truth_fields()) {
                add(out[field.key], truth.lobes[i].*field.figure, figure_of(found.lobes[i], field.key));
            }
        }
        add(out["cam.stock_to_clean"], truth.stock_to_clean_mm, found.stock_to_clean_mm);
        add(out["cam.thrust.share"], truth.thrust_share, found.thrust.share);
        add(out["cam.bend"], truth.bend_mm, found.bend_mm);
    }
    return out;
}

}  // namespace lobewright
