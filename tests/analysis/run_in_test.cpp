// After a run-in: limits of its own, whether taper survived, where metal went, what to check. Common practice, no source.
#include <catch2/catch.hpp>

#include "analysis/judge/judgement.hpp"
#include "tests/analysis/judge_fixture.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

CamFigures after_run_in() {
    CamFigures cam = good_cam();
    cam.reference.condition = Condition::before;
    cam.used.condition = Condition::after;
    for (LobeFigures& lobe : cam.lobes) lobe.lift.loss_mm = {0.002, 0.002};
    return cam;
}

bool says(const std::vector<std::string>& notes, const std::string& what) {
    for (const auto& note : notes)
        if (note.find(what) != std::string::npos) return true;
    return false;
}

}  // namespace

TEST_CASE("a run-in that took is said to have", "[judge][run-in]") {
    const CamJudgement judged = judge(after_run_in(), {}, Units::mm);
    CHECK(judged.verdict == Verdict::reuse);
    CHECK(says(judged.notes, "left its taper to every lobe"));
    CHECK_FALSE(says(judged.notes, "before another run-in"));
}

TEST_CASE("a run-in is judged by limits of its own", "[judge][run-in]") {
    CamFigures cam = after_run_in();
    SECTION("lift that an old cam may have lost") {
        cam.lobes[0].lift.loss_mm = {0.06, 0.002};
        CHECK(judge(cam, {}, Units::mm).lobes[0].verdict == Verdict::regrind);
        cam.used.condition = Condition::used;
        CHECK(judge(cam, {}, Units::mm).lobes[0].verdict == Verdict::reuse);
    }
    SECTION("taper that would do an old cam") {
        cam.lobes[0].taper.closing_mm = {0.008, 0.001};
        const CamJudgement judged = judge(cam, {}, Units::mm);
        CHECK(judged.lobes[0].verdict == Verdict::regrind);
        // It turns its tappet still: what is said mustn't be that it doesn't.
        CHECK(judged.lobes[0].rulings.front().says.find("too little to last") != std::string::npos);
        cam.used.condition = Condition::used;
        CHECK(judge(cam, {}, Units::mm).lobes[0].verdict == Verdict::reuse);
    }
    SECTION("the shop's own") {
        Limits shop;
        shop.run_in_lift_loss_mm = 0.07;
        cam.lobes[0].lift.loss_mm = {0.06, 0.002};
        CHECK(judge(cam, shop, Units::mm).lobes[0].verdict == Verdict::reuse);
    }
}

TEST_CASE("a failed run-in says which lobes, what to check and what is finished", "[judge][run-in]") {
    // After a run-in a lobe bright over its whole width has no taper left: the run-in failed. Common practice, no source.
    CamFigures cam = after_run_in();
    cam.lobes[0].taper.opening_mm = {0.0, 0.002};
    cam.lobes[0].taper.closing_mm = {0.001, 0.002};
    const CamJudgement judged = judge(cam, {}, Units::mm);
    CHECK(judged.verdict == Verdict::regrind);
    CHECK(says(judged.notes, "the run-in failed on 1E"));
    CHECK(says(judged.notes, "taper survived the run-in on 1I"));
    for (const char* check : {"zinc additive", "springs' load", "bore", "crown"})
        CHECK(says(judged.notes, check));
    CHECK(says(judged.notes, "the tappets of 1E are finished with"));
    cam.used.condition = Condition::used;
    CHECK_FALSE(says(judge(cam, {}, Units::mm).notes, "run-in"));
}

TEST_CASE("where a run-in took its metal is said when it isn't the nose", "[judge][run-in]") {
    CamFigures cam = after_run_in();
    LobeFigures& lobe = cam.lobes[0];
    lobe.nose_deg = {100.0, 0.1};
    lobe.wear.max_depth_mm = {0.012, 0.002};
    SECTION("beside the nose") {
        lobe.wear.at_deg = 55.0;
        CHECK(says(judge(cam, {}, Units::mm).lobes[0].notes, "45 deg from the nose, on the opening side"));
        lobe.wear.at_deg = 130.0 - 360.0;
        CHECK(says(judge(cam, {}, Units::mm).lobes[0].notes, "30 deg from the nose, on the closing side"));
    }
    SECTION("at the nose") {
        lobe.wear.at_deg = 110.0;
        CHECK_FALSE(says(judge(cam, {}, Units::mm).lobes[0].notes, "from the nose"));
    }
    SECTION("next to nothing") {
        lobe.wear.at_deg = 55.0;
        lobe.wear.max_depth_mm = {0.006, 0.002};
        CHECK_FALSE(says(judge(cam, {}, Units::mm).lobes[0].notes, "from the nose"));
    }
    SECTION("an old cam") {
        lobe.wear.at_deg = 55.0;
        cam.used.condition = Condition::used;
        CHECK_FALSE(says(judge(cam, {}, Units::mm).lobes[0].notes, "from the nose"));
    }
}

TEST_CASE("the arc over which taper is gone stands on the first screen, lobe by lobe", "[judge]") {
    CamFigures cam = good_cam();
    cam.lobes[0].wear.flat_arc_deg = {14.0, 1.0};
    CHECK(says(judge(cam, {}, Units::mm).notes, "over so many cam degrees: 1E 14"));
}
