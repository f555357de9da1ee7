#include "tests/coverage/verdict_study.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "analysis/compare.hpp"
#include "analysis/errors.hpp"
#include "analysis/judge/limits.hpp"
#include "rig/model/example_cams.hpp"
#include "rig/model/lopsided_wear.hpp"
#include "rig/model/simulate.hpp"
#include "rig/model/truth.hpp"
#include "tests/coverage/random_rig.hpp"

namespace lobewright {
namespace {

struct WornCam {
    CamModel reference;
    CamModel used;
    std::vector<std::string> wear;  // of each lobe
};

/// What wore a lobe, and how it is called in the table.
struct NamedWear {
    std::string name;
    std::vector<Wear> wear;
};

NamedWear draw_wear(const LobeModel& lobe, Random& random) {
    const double taper = lobe.taper_mm;
    switch (random.below(12)) {
        case 0:
        case 1:
            return {"even, little", {even_wear(random.uniform(0.001, 0.02))}};
        case 2:
        case 3:
            return {"nose flat across its width",
                    {nose_wear(random.uniform(0.005, 0.06), taper, random.uniform(24.0, 36.0))}};
        case 4:
            return {"taper gone all round",
                    {taper_lost_wear(random.uniform(0.003, 0.02), taper, random.uniform(10.0, 16.0))}};
        case 5:
            return {"taper going all round",
                    {taper_lost_wear(0.002, random.uniform(0.2, 0.9) * taper, 14.0)}};
        case 6:
            return {"wiped", {wiped_wear(random.uniform(0.02, 0.6))}};
        case 7:
            return {"wiped and taper gone",
                    {taper_lost_wear(0.01, taper, 14.0), wiped_wear(random.uniform(0.05, 1.2))}};
        case 8:
            return {"one flank hollowed",
                    {flank_wear(random.uniform(0.005, 0.03), random.uniform(-45.0, 45.0))}};
        case 9:
            return {"one ramp's taper gone", {ramp_taper_lost_wear(taper, random.below(2) == 0)}};
        case 10:
            return {"one edge worn", {edge_wear(random.uniform(0.01, 0.05), random.below(2) == 0)}};
        default:
            return {"as new", {}};
    }
}

/// A cam bent, out of round and worn at random; shapes that no convex lobe can have are drawn again.
WornCam draw_cam(const VerdictOptions& options, Random& random) {
    WornCam cam;
    cam.reference = launch_engine_cam();
    cam.reference.lobes.resize(std::min(options.lobes, cam.reference.lobes.size()));
    const bool offset = random.below(6) == 0;
    cam.reference.info.follower = offset ? Follower::flat_offset : Follower::flat;
    cam.reference.info.retention = random.below(3) == 0 ? Retention::none : Retention::thrust_plate;
    cam.reference.info.case_depth_mm = random.uniform(0.7, 2.5);
    for (LobeModel& lobe : cam.reference.lobes) {
        const double size = random.uniform(0.018, 0.030);
        lobe.taper_mm =
            offset
                ? 0.0
                : std::copysign(size, cam.reference.info.retention == Retention::none ? 1.0 : lobe.taper_mm);
    }
    cam.used = cam.reference;
    const double bend = random.below(8) == 0 ? 0.04 : 0.012;
    cam.used.journals[1].bend_x_mm = random.uniform(-bend, bend);
    cam.used.journals[1].bend_y_mm = random.uniform(-bend, bend);
    const bool sound = random.below(3) == 0;  // cams of which nothing is badly worn
    for (LobeModel& lobe : cam.used.lobes) {
        if (random.below(20) == 0)
            lobe.form.push_back({1, random.uniform(0.005, 0.05), random.uniform(0.0, 360.0)});
        NamedWear wear;
        do {
            wear = sound ? NamedWear{"even, little", {even_wear(random.uniform(0.001, 0.01))}}
                         : draw_wear(lobe, random);
            lobe.wear = wear.wear;
        } while (least_radius_mm(lobe) < 1.0);
        cam.wear.push_back(wear.name);
    }
    return cam;
}

/// A flat tappet's taper on the lesser ramp, toward the lobe's high side.
double least_ramp_taper(const LobeTruth& truth) {
    const double a = truth.taper_opening_mm.value, b = truth.taper_closing_mm.value;
    const double greater = std::abs(a) >= std::abs(b) ? a : b;
    return (greater < 0.0 ? -1.0 : 1.0) * (std::abs(a) >= std::abs(b) ? b : a);
}

/// The verdict of whoever knows the truth.
Verdict true_verdict(const LobeTruth& truth, const CamInfo& cam, const Limits& limits) {
    const bool fit =
        (cam.follower != Follower::flat || least_ramp_taper(truth) >= limits.least_ramp_taper_mm) &&
        truth.lift_loss_mm.value <= limits.lift_loss_mm &&
        std::max(truth.runout_front_mm.value, truth.runout_rear_mm.value) <= limits.base_circle_runout_mm;
    if (fit) return Verdict::reuse;
    const double stock = truth.stock_to_clean_mm.value;
    const bool case_left = *cam.case_depth_mm - stock >= limits.least_case_left_mm;
    return case_left ? Verdict::regrind : Verdict::scrap;
}

RigModel bench(const VerdictOptions& options, Random& random) {
    return random_rig(CoverageOptions{}, options.noise_mm, random);
}

std::string describe(int cam, const LobeTruth& truth, const std::string& wear, const LobeJudgement& judged) {
    return fmt::format("cam {} lobe {} ({}): ramp taper {:.4f}, lift loss {:.4f}, runout {:.4f}; said: {}",
                       cam, truth.name, wear, least_ramp_taper(truth), truth.lift_loss_mm.value,
                       std::max(truth.runout_front_mm.value, truth.runout_rear_mm.value),
                       judged.rulings.empty() ? "nothing" : judged.rulings.front().says);
}

std::size_t at(Verdict verdict) {
    return static_cast<std::size_t>(verdict);
}

}  // namespace

VerdictStudy study_verdicts(const VerdictOptions& options) {
    const Limits limits;
    VerdictStudy out;
    HandModel hand;
    for (int cam = 0; cam < options.cams; ++cam) {
        Random random(options.seed, static_cast<std::uint64_t>(cam));
        const WornCam worn = draw_cam(options, random);
        const RigModel reference_rig = bench(options, random), used_rig = bench(options, random);
        RunPlan plan;
        plan.journal_passes = 2;
        const Run reference = simulate_run(worn.reference, reference_rig, hand, {}, plan, random.bits());
        const Run used = simulate_run(worn.used, used_rig, hand, {}, plan, random.bits());
        const CamTruth truth = true_figures(worn.reference, reference_rig, worn.used, used_rig);
        CamJudgement judged;
        try {
            judged = judge(compare_runs(reference, used), limits, Units::mm);
        } catch (const DataError& error) {
            out.refused.push_back(fmt::format("cam {}: {}", cam, error.what()));
            continue;
        }
        Verdict true_cam = truth.bend_mm.value > limits.bend_mm ? Verdict::regrind : Verdict::reuse;
        for (std::size_t i = 0; i < judged.lobes.size(); ++i) {
            const LobeTruth& lobe = truth.lobes[i];
            const Verdict right = true_verdict(lobe, worn.used.info, limits), said = judged.lobes[i].verdict;
            true_cam = std::max(true_cam, right);
            ++out.lobes[right][at(said)];
            ++out.by_wear[worn.wear[i]][at(said)];
            out.fit_by_wear[worn.wear[i]] += right == Verdict::reuse ? 1 : 0;
            if (right != Verdict::reuse && said == Verdict::reuse)
                out.unfit_passed.push_back(describe(cam, lobe, worn.wear[i], judged.lobes[i]));
            if (right == Verdict::reuse && said >= Verdict::regrind)
                out.fit_condemned.push_back(describe(cam, lobe, worn.wear[i], judged.lobes[i]));
        }
        ++out.cams[true_cam][at(judged.verdict)];
        out.scrap_cams_passed += true_cam == Verdict::scrap && judged.verdict == Verdict::reuse ? 1 : 0;
        ++out.cams_judged;
    }
    return out;
}

}  // namespace lobewright
