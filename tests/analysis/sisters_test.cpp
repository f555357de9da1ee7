// Lobes held against their sisters where no reference run is: on simulated cams with known truth.
#include "analysis/sisters/sisters.hpp"

#include <cmath>

#include <catch2/catch.hpp>

#include "analysis/compare.hpp"
#include "analysis/judge/judgement.hpp"
#include "tests/analysis/card_cams.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

CamFigures inspected(const CamModel& cam) {
    return inspect_run(run_of(cam, zeroed_rig()));
}

const LobeFigures& figures_of(const CamFigures& cam, const std::string& name) {
    return *std::find_if(cam.lobes.begin(), cam.lobes.end(),
                         [&](const auto& lobe) { return lobe.name == name; });
}

}  // namespace

TEST_CASE("the range of n normal values", "[outside][sisters]") {
    // Upper 5 % of the studentized range, infinite degrees of freedom (H. L. Harter 1960, Tukey's tables, from memory).
    CHECK(range_of_normal_95(2) == Approx(2.772).epsilon(0.0005));
    CHECK(range_of_normal_95(3) == Approx(3.314).epsilon(0.0005));
    CHECK(range_of_normal_95(4) == Approx(3.633).epsilon(0.0005));
    CHECK(range_of_normal_95(10) == Approx(4.474).epsilon(0.0005));
}

TEST_CASE("a new cam's lobes are sisters by kind, and none stands lower", "[sisters]") {
    const CamFigures cam = inspected(launch_cam());
    CHECK(said(cam.notes, "sisters 1E, 2E, 3E, 4E: one profile, none stands lower"));
    CHECK(said(cam.notes, "sisters 1I, 2I, 3I, 4I: one profile, none stands lower"));
    CHECK(said(cam.notes, "what all of them have lost alike can't be seen"));
    for (const LobeFigures& lobe : cam.lobes) {
        CHECK(lobe.lift.below_sisters_mm.value >= 0.0);
        CHECK(lobe.lift.below_sisters_mm.value < 2.0 * lobe.lift.below_sisters_mm.u95);
    }
}

TEST_CASE("a worn lobe is the odd one out, by as much as it lost", "[sisters]") {
    CamModel cam = launch_cam();
    named(cam, "3E").wear = {nose_wear(0.060, named(cam, "3E").taper_mm)};
    const CamFigures found = inspected(cam);
    CHECK(said(found.notes, "finding: 3E is the odd one out"));
    // The lobe's own lift loss: what the same lobe new lifts more, by the same bench.
    const double lost = figures_of(inspected(launch_cam()), "3E").lift.used_mm.value -
                        figures_of(found, "3E").lift.used_mm.value;
    const Measured& below = figures_of(found, "3E").lift.below_sisters_mm;
    CHECK(below.value == Approx(lost).margin(below.u95 + 0.0005));
    CHECK(judge(found, {}, Units::mm).lobes[4].verdict == Verdict::reuse);
}

TEST_CASE("a loss that sisters prove to be over the limit isn't passed as fit", "[sisters]") {
    CamModel cam = launch_cam();
    named(cam, "2I").wear = {nose_wear(0.25, named(cam, "2I").taper_mm, 45.0)};
    const CamFigures found = inspected(cam);
    const CamJudgement judged = judge(found, {}, Units::mm);
    const auto lobe = std::find_if(judged.lobes.begin(), judged.lobes.end(),
                                   [](const auto& one) { return one.name == "2I"; });
    CHECK(lobe->verdict != Verdict::reuse);
    CHECK(lobe->rulings.front().rule == "lift against sisters");
}

TEST_CASE("a lobe wiped down in proportion isn't passed as fit, though it keeps its taper", "[sisters]") {
    for (const double lost_mm : {0.15, 0.45}) {
        CamModel cam = launch_cam();
        named(cam, "2E").wear = {wiped_wear(lost_mm)};
        const CamFigures found = inspected(cam);
        CAPTURE(lost_mm);
        CHECK(figures_of(found, "2E").lift.below_sisters_mm.value == Approx(lost_mm).margin(0.002));
        CHECK(judge(found, {}, Units::mm).verdict != Verdict::reuse);
    }
}

TEST_CASE("lobes that differ by design aren't called worn", "[sisters]") {
    CamModel cam = launch_cam();
    SECTION("a second pattern on two intakes: families of their own") {
        for (const char* name : {"1I", "2I"}) named(cam, name).lift_mm -= 0.4;
        const CamFigures found = inspected(cam);
        CHECK(said(found.notes, "sisters 1I, 2I: one profile"));
        CHECK(said(found.notes, "sisters 3I, 4I: one profile"));
        for (const LobeFigures& lobe : found.lobes)
            CHECK(lobe.lift.below_sisters_mm.value < 2.0 * lobe.lift.below_sisters_mm.u95);
    }
    SECTION("one lobe unlike all others of its kind") {
        named(cam, "4I").lift_mm -= 0.4;
        const CamFigures found = inspected(cam);
        CHECK(said(found.notes, "wiped down, or ground to less lift by design"));
        CHECK(judge(found, {}, Units::mm).verdict == Verdict::remeasure);
    }
    SECTION("a lobe of another shape") {
        named(cam, "4I").opening_deg -= 4.0;
        const CamFigures found = inspected(cam);
        CHECK(said(found.notes, "4I has no sister"));
        CHECK_FALSE(figures_of(found, "4I").lift.below_sisters_mm.known());
        CHECK(judge(found, {}, Units::mm).verdict == Verdict::reuse);
    }
    SECTION("an eccentric among them, of kind `other`") {
        named(cam, "4I").lobe.kind = LobeKind::other;
        CHECK_FALSE(figures_of(inspected(cam), "4I").lift.below_sisters_mm.known());
    }
}

TEST_CASE("where a reference run is, sisters have no say", "[sisters]") {
    const Run run = run_of(launch_cam(1), zeroed_rig());
    const CamFigures compared = compare_runs(run, run);
    CHECK_FALSE(said(compared.notes, "sister"));
    CHECK_FALSE(compared.lobes[0].lift.below_sisters_mm.known());
}
