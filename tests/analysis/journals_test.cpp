// Journals: roundness, bend and what their V-blocks do to the lobes, on simulated cams with known truth. The published
// reconstruction stands in tests/outside/v_block_table_test.cpp.
#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include <catch2/catch.hpp>

#include "analysis/compare.hpp"
#include "analysis/support/axis_motion.hpp"
#include "rig/model/example_cams.hpp"
#include "rig/model/simulate.hpp"
#include "rig/model/truth.hpp"

using namespace lobewright;

namespace {

constexpr double um = 1e-3;

RigModel bench() {
    RigModel rig;
    rig.info.counts_per_rev = 7200;
    rig.info.front_z_mm = -4.0;
    rig.info.rear_z_mm = 4.0;
    rig.info.resolution_mm = 0.0005;
    rig.info.error_limit_mm = 0.0;
    rig.noise_mm = 0.0005;
    return rig;
}

/// One lobe between two V-blocks of 90 degrees whose journals are out of round by some um, a bent journal between.
CamModel rough_cam() {
    CamModel cam = launch_engine_cam();
    cam.lobes.resize(2);
    for (auto& lobe : cam.lobes) lobe.form.clear();
    cam.journals[0].form = {{2, 4.0 * um, 20.0}, {3, 2.5 * um, 70.0}, {5, 1.0 * um, -35.0}};
    cam.journals[1].form = {{2, 1.5 * um, 10.0}, {4, 1.0 * um, 50.0}};
    cam.journals[2].form = {{2, 3.0 * um, 140.0}, {3, 2.0 * um, -80.0}};
    cam.journals[1].bend_x_mm = 0.018;
    cam.journals[1].bend_y_mm = -0.011;
    return cam;
}

RunPlan plan_of(int journal_passes) {
    RunPlan plan;
    plan.journal_passes = journal_passes;
    return plan;
}

bool any_holds(const std::vector<std::string>& notes, const std::string& part) {
    return std::any_of(notes.begin(), notes.end(),
                       [&](const std::string& note) { return note.find(part) != std::string::npos; });
}

}  // namespace

TEST_CASE("runout, out-of-roundness and bend lie inside their stated uncertainty", "[journals]") {
    const CamModel cam = rough_cam();
    const RigModel rig = bench();
    const CamTruth truth = true_figures(cam, rig, cam, rig);
    int count = 0, inside = 0;
    const auto tally = [&](const Measured& found, double value, double reach_mm) {
        CAPTURE(found.value, found.u95, value);
        CHECK(std::abs(found.value - value) < 2.0 * (found.u95 + reach_mm));
        ++count;
        inside += std::abs(found.value - value) <= found.u95 + reach_mm;
    };
    for (std::uint64_t seed = 1; seed <= 12; ++seed) {
        const auto found = inspect_run(simulate_run(cam, rig, {}, {}, plan_of(2), seed));
        REQUIRE(found.journals.size() == truth.journals.size());
        // The journals' curve is smoothed: of 5 undulations 4e-4, of 2 and 3 less than 5e-5.
        constexpr double smoothed_mm = 1e-5;
        for (std::size_t j = 0; j < truth.journals.size(); ++j) {
            CAPTURE(seed, found.journals[j].name);
            CHECK(found.journals[j].name == truth.journals[j].name);
            tally(found.journals[j].runout_mm, truth.journals[j].runout_mm, smoothed_mm);
            tally(found.journals[j].out_of_round_mm, truth.journals[j].out_of_round_mm, smoothed_mm);
        }
        tally(found.bend_mm, truth.bend_mm.value, 0.0);
        CHECK(found.bend_mm.u95 < 0.001);
    }
    CHECK(truth.bend_mm.value == Approx(2.0 * std::hypot(0.018, 0.011)).epsilon(0.05));
    CHECK(inside >= 0.9 * count);
}

TEST_CASE("what the V-blocks move the lobes by is taken off when the journals were swept", "[journals]") {
    const CamModel cam = rough_cam();
    const RigModel rig = bench();
    const CamTruth truth = true_figures(cam, rig, cam, rig);
    const auto swept = inspect_run(simulate_run(cam, rig, {}, {}, plan_of(2), 5));
    const Run bare = simulate_run(cam, rig, {}, {}, plan_of(0), 5);
    const auto unswept = inspect_run(bare);
    AnalysisOptions rough;
    rough.used.journal_roundness_mm = 0.014;  // what these journals are out of round by
    const auto doubted = inspect_run(bare, rough);
    CHECK(swept.journals.size() == 3);
    CHECK(unswept.journals.empty());
    double most_off = 0.0;
    for (std::size_t i = 0; i < truth.lobes.size(); ++i) {
        const double lift = truth.lobes[i].lift_used_mm.value;
        const double u95 = swept.lobes[i].lift.used_mm.u95;
        CAPTURE(swept.lobes[i].name, u95);
        CHECK(std::abs(swept.lobes[i].lift.used_mm.value - lift) < 2.0 * u95);
        most_off = std::max(most_off, std::abs(unswept.lobes[i].lift.used_mm.value - lift) / u95);
        CHECK(std::abs(doubted.lobes[i].lift.used_mm.value - lift) < doubted.lobes[i].lift.used_mm.u95);
        CHECK(unswept.lobes[i].lift.used_mm.u95 > u95);
    }
    CHECK(most_off > 4.0);
    CHECK(any_holds(unswept.notes, "the journals in the V-blocks weren't both swept"));
    CHECK_FALSE(any_holds(swept.notes, "the journals in the V-blocks weren't both swept"));
}

TEST_CASE("undulations that a V-block hides are named", "[journals]") {
    // F_n of 90 degrees is 0 for 7, 9 and 15 undulations (ISO 4292; tests/outside/v_block_table_test.cpp).
    const auto found = inspect_run(simulate_run(rough_cam(), bench(), {}, {}, plan_of(2), 1));
    for (const std::string name : {"J1", "J3"}) {
        CAPTURE(name);
        CHECK(std::any_of(found.notes.begin(), found.notes.end(), [&](const std::string& note) {
            return note.find(name) != std::string::npos && note.find("7, 9, 15") != std::string::npos;
        }));
    }
}

TEST_CASE("without journal sweeps the bend isn't known, and why", "[journals]") {
    const auto found = inspect_run(simulate_run(rough_cam(), bench(), {}, {}, plan_of(0), 1));
    CHECK_FALSE(found.bend_mm.known());
    CHECK(any_holds(found.notes, "bend isn't known"));
}

TEST_CASE("a cam between centres needs no journals", "[journals]") {
    CamModel cam = rough_cam();
    cam.journals.clear();
    const Run run = simulate_run(cam, bench(), {}, {}, plan_of(0), 1);
    std::vector<std::string> notes;
    const AxisMotion motion(run, journal_curves(run), {}, notes);
    CHECK_FALSE(motion.known());
    CHECK(notes.empty());
    CHECK(motion.at(100.0, 1.0) == 0.0);
}

TEST_CASE("the axis moves linearly from one V-block to the other", "[journals]") {
    const Run run = simulate_run(rough_cam(), bench(), {}, {}, plan_of(2), 1);
    std::vector<std::string> notes;
    const AxisMotion motion(run, journal_curves(run), {}, notes);
    REQUIRE(motion.known());
    const double z1 = run.journals[0].z_mm, z2 = run.journals[2].z_mm;
    for (const double rad : {0.0, 1.0, 2.5, 4.0}) {
        const double first = motion.at(z1, rad), last = motion.at(z2, rad);
        CHECK(motion.at(0.5 * (z1 + z2), rad) == Approx(0.5 * (first + last)).margin(1e-12));
        CHECK(motion.at(2.0 * z2 - z1, rad) == Approx(2.0 * last - first).margin(1e-12));
    }
}
