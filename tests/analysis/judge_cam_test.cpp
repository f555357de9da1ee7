// The cam's verdict out of its lobes' and its bend's, and what is said beside it. Trade facts: common
// practice, no source.
#include <algorithm>

#include <catch2/catch.hpp>

#include "analysis/judge/judgement.hpp"
#include "tests/analysis/judge_fixture.hpp"

using namespace lobewright;
using lobewright::tests::good_cam;
using lobewright::tests::good_lobe;

namespace {

void make_open(LobeFigures& lobe) {
    lobe.lift.loss_mm = {0.13, 0.004};
}
void make_regrind(LobeFigures& lobe) {
    lobe.lift.loss_mm = {0.4, 0.004};
}
void make_scrap(LobeFigures& lobe) {
    lobe.lift.loss_mm = {0.4, 0.004};
    lobe.stock_to_clean_mm = {0.9, 0.01};
}
void wipe(LobeFigures& lobe) {
    lobe.taper.opening_mm = {0.0002, 0.001};
    lobe.taper.closing_mm = {0.0001, 0.001};
}

bool says(const std::vector<std::string>& notes, const std::string& part) {
    return std::any_of(notes.begin(), notes.end(),
                       [&](const std::string& note) { return note.find(part) != std::string::npos; });
}

}  // namespace

TEST_CASE("the cam takes its worst lobe's verdict", "[judge]") {
    struct Row {
        const char* legend;
        void (*first)(LobeFigures&);
        void (*second)(LobeFigures&);
        Verdict verdict;
        const char* lobe;  // of the first reason
    };
    const auto leave = [](LobeFigures&) {};
    const auto row = GENERATE_COPY(values<Row>({
        {"open and good", make_open, leave, Verdict::remeasure, "1E"},
        {"good and open", leave, make_open, Verdict::remeasure, "1I"},
        {"open and regrind", make_open, make_regrind, Verdict::regrind, "1I"},
        {"regrind and scrap: the scrapped lobe's reason first", make_regrind, make_scrap, Verdict::scrap,
         "1I"},
        {"scrap and good", make_scrap, leave, Verdict::scrap, "1E"},
    }));
    INFO(row.legend);
    CamFigures cam = good_cam();
    row.first(cam.lobes[0]);
    row.second(cam.lobes[1]);
    const CamJudgement judged = judge(cam, {}, Units::mm);
    CHECK(judged.verdict == row.verdict);
    REQUIRE_FALSE(judged.reasons.empty());
    CHECK(judged.reasons.front().lobe == std::string(row.lobe));
}

TEST_CASE("a lobe that only wants measuring again is no reason for a cam that isn't fit", "[judge]") {
    CamFigures cam = good_cam();
    make_open(cam.lobes[0]);
    make_regrind(cam.lobes[1]);
    const CamJudgement judged = judge(cam, {}, Units::mm);
    REQUIRE(judged.reasons.size() == 1);
    CHECK(judged.reasons[0].lobe == std::string("1I"));
}

TEST_CASE("a cam fit for reuse gives the one rule that is nearest its limit", "[judge]") {
    CamFigures cam = good_cam();
    cam.lobes[1].base_circle.runout_mm.rear = {0.045, 0.001};
    const CamJudgement judged = judge(cam, {}, Units::mm);
    CHECK(judged.verdict == Verdict::reuse);
    REQUIRE(judged.reasons.size() == 1);
    CHECK(judged.reasons[0].rule == "base-circle runout");
    CHECK(judged.reasons[0].lobe == std::string("1I"));

    cam.bend_mm = {0.045, 0.004};
    const CamJudgement nearly_bent = judge(cam, {}, Units::mm);
    REQUIRE(nearly_bent.reasons.size() == 1);
    CHECK(nearly_bent.reasons[0].rule == "bend");
    CHECK_FALSE(nearly_bent.reasons[0].lobe);
}

TEST_CASE("the bend stands beside the lobes", "[judge]") {
    CamFigures cam = good_cam();
    cam.bend_mm = {0.06, 0.004};
    CHECK(judge(cam, {}, Units::mm).verdict == Verdict::regrind);
    CHECK(judge(cam, {}, Units::mm).reasons.front().rule == "bend");
    CHECK_FALSE(judge(cam, {}, Units::mm).reasons.front().lobe);
    CHECK(judge(cam, {}, Units::mm).lobes.front().verdict == Verdict::reuse);

    make_scrap(cam.lobes[1]);
    CHECK(judge(cam, {}, Units::mm).verdict == Verdict::scrap);

    cam = good_cam();
    cam.bend_mm = {0.05, 0.004};
    CHECK(judge(cam, {}, Units::mm).verdict == Verdict::remeasure);

    cam.bend_mm = {};
    CHECK(judge(cam, {}, Units::mm).verdict == Verdict::reuse);
}

TEST_CASE("lost taper is explained by what the runs were taken for", "[judge]") {
    CamFigures cam = good_cam();
    cam.lobes.push_back(good_lobe("2E", LobeKind::exhaust));
    wipe(cam.lobes[0]);
    CHECK(says(judge(cam, {}, Units::mm).notes, "gone on 1E"));
    CHECK_FALSE(says(judge(cam, {}, Units::mm).notes, "zinc"));
    wipe(cam.lobes[2]);
    CHECK(says(judge(cam, {}, Units::mm).notes, "gone on 1E, 2E"));
    CHECK(says(judge(cam, {}, Units::mm).notes, "zinc"));
    cam.used.condition = Condition::after;
    CHECK(says(judge(cam, {}, Units::mm).notes, "the run-in failed on 1E, 2E"));
}

TEST_CASE("findings are said and don't decide", "[judge]") {
    CamFigures cam = good_cam();
    LobeFigures& lobe = cam.lobes.front();
    SECTION("flat nose on tapered ramps") {
        lobe.wear.flat_arc_deg = {14.0, 1.0};
        const CamJudgement judged = judge(cam, {}, Units::mm);
        CHECK(says(judged.lobes[0].notes, "about a millisecond"));
        CHECK_FALSE(says(judged.lobes[1].notes, "about a millisecond"));
    }
    SECTION("no word of comfort about the nose when a ramp has lost its taper") {
        lobe.wear.flat_arc_deg = {120.0, 1.0};
        wipe(lobe);
        CHECK_FALSE(says(judge(cam, {}, Units::mm).lobes[0].notes, "about a millisecond"));
        return;
    }
    SECTION("high side to the front with nothing to hold the cam") {
        lobe.taper.high_side = HighSide::front;
        CHECK_FALSE(says(judge(cam, {}, Units::mm).lobes[0].notes, "high side to the front"));
        cam.cam.retention = Retention::none;
        CHECK(says(judge(cam, {}, Units::mm).lobes[0].notes, "high side to the front"));
    }
    SECTION("every push one way against a thrust plate") {
        cam.thrust = {Push::rear, {1.0, 0.0}};
        CHECK(says(judge(cam, {}, Units::mm).notes, "every lobe pushes the cam to the rear"));
        cam.cam.retention = Retention::none;
        CHECK_FALSE(says(judge(cam, {}, Units::mm).notes, "every lobe pushes"));
    }
    SECTION("pushes that cancel need no word") {
        CHECK_FALSE(says(judge(cam, {}, Units::mm).notes, "pushes the cam"));
    }
    SECTION("taper on an offset tappet's lobe") {
        cam.cam.follower = Follower::flat_offset;
        CHECK(says(judge(cam, {}, Units::mm).lobes[0].notes, "set off centre"));
        lobe.taper.base_mm = lobe.taper.opening_mm = lobe.taper.nose_mm =
            lobe.taper.closing_mm = {0.001, 0.002};
        CHECK_FALSE(says(judge(cam, {}, Units::mm).lobes[0].notes, "set off centre"));
    }
    SECTION("more lift than when new") {
        lobe.lift.loss_mm = {-0.3, 0.004};
        CHECK(says(judge(cam, {}, Units::mm).lobes[0].notes, "same cam and lobe?"));
    }
    CHECK(judge(cam, {}, Units::mm).verdict == Verdict::reuse);
}

TEST_CASE("the cam's notes say where the limits are from and what wasn't judged", "[judge]") {
    CamFigures cam = good_cam();
    CHECK(says(judge(cam, {}, Units::mm).notes, "built-in, common practice"));
    Limits shop;
    shop.source = "shop.toml";
    CHECK(says(judge(cam, shop, Units::mm).notes, "limits: shop.toml"));
    CHECK_FALSE(says(judge(cam, {}, Units::mm).notes, "no reference run"));
    cam.has_reference = false;
    CHECK(says(judge(cam, {}, Units::mm).notes, "no reference run"));
}

TEST_CASE("follower and what holds the cam, where they don't go together", "[judge]") {
    // Rollers without a plate use a button; flat tappets without a plate need taper. Common practice, no source.
    CamFigures cam = good_cam();
    cam.cam.retention = Retention::none;
    for (const Follower follower : {Follower::roller, Follower::flat_offset}) {
        cam.cam.follower = follower;
        CHECK(
            says(judge(cam, {}, Units::mm).notes, "lobes need no taper, so none holds the cam to the rear"));
    }
    cam.cam.retention = Retention::button;
    CHECK_FALSE(says(judge(cam, {}, Units::mm).notes, "none holds the cam"));
    cam.thrust = {Push::front, {-1.0, 0.05}};
    CHECK(says(judge(cam, {}, Units::mm).notes, "onto its button"));
    cam.cam = {};
    cam.cam.follower = Follower::flat;
    cam.cam.retention = Retention::none;
    cam.thrust = {Push::none, {}};
    CHECK(says(judge(cam, {}, Units::mm).notes, "no lobe has taper left to hold the cam to the rear"));
}
