// What the trade knows of taper, followers, retention, run-ins and mileage, a fact a test: what verdict and what words
// follow from it. All of it is common practice, no source. What the stripe and the push should be:
// trade_facts_contact_test.cpp; which tappet goes where: tappets_test.cpp.
#include <algorithm>
#include <string>
#include <vector>

#include <catch2/catch.hpp>

#include "analysis/along/along_cam.hpp"
#include "analysis/judge/judgement.hpp"
#include "judge_fixture.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

constexpr Measured none_left{0.0002, 0.001};

/// Everything that a verdict says, the deciding rulings and the notes.
bool said(const CamJudgement& judged, const std::string& part) {
    const auto holds = [&](const std::string& text) { return text.find(part) != std::string::npos; };
    if (std::any_of(judged.notes.begin(), judged.notes.end(), holds)) return true;
    return std::any_of(judged.lobes.begin(), judged.lobes.end(), [&](const LobeJudgement& lobe) {
        return holds(lobe.rulings.front().says) || std::any_of(lobe.notes.begin(), lobe.notes.end(), holds);
    });
}

CamJudgement judged(const CamFigures& cam) {
    return judge(cam, {}, Units::mm);
}

void lose_ramps(LobeFigures& lobe) {
    lobe.taper.opening_mm = lobe.taper.closing_mm = none_left;
}

void lose_all_taper(LobeFigures& lobe) {
    lose_ramps(lobe);
    lobe.taper.base_mm = lobe.taper.nose_mm = none_left;
    lobe.taper.high_side = HighSide::none;
}

CamFigures held_by(Retention retention, Follower follower) {
    CamFigures cam = good_cam();
    cam.cam.retention = retention;
    cam.cam.follower = follower;
    return cam;
}

}  // namespace

TEST_CASE("common practice, no source: a flat tappet needs taper, and its loss is judged", "[judge][trade]") {
    CamFigures cam = good_cam();
    CHECK(judged(cam).verdict == Verdict::reuse);
    CHECK(said(judged(cam), "the tappet turns"));
    lose_all_taper(cam.lobes[0]);
    CHECK(judged(cam).lobes[0].verdict == Verdict::regrind);
    CHECK(said(judged(cam), "the tappet won't turn"));
    CHECK(said(judged(cam), "a tappet that stands still wears its lobe out"));
}

TEST_CASE("common practice, no source: on a roller's lobe taper is a fault, its absence is none",
          "[judge][trade]") {
    CamFigures cam = held_by(Retention::thrust_plate, Follower::roller);
    CHECK(judged(cam).verdict >= Verdict::regrind);  // the fixture's 0.02 mm of taper
    CHECK(said(judged(cam), "a roller rides on one edge of it"));
    for (auto& lobe : cam.lobes) lose_all_taper(lobe);
    CHECK(judged(cam).verdict == Verdict::reuse);
}

TEST_CASE("common practice, no source: a tappet set off the lobe's middle needs no taper", "[judge][trade]") {
    CamFigures cam = held_by(Retention::thrust_plate, Follower::flat_offset);
    CHECK(judged(cam).verdict == Verdict::reuse);
    CHECK(said(judged(cam), "its tappet is set off centre and needs none"));
    for (auto& lobe : cam.lobes) lose_all_taper(lobe);
    CHECK(judged(cam).verdict == Verdict::reuse);
    CHECK_FALSE(said(judged(cam), "taper"));
}

TEST_CASE("common practice, no source: without a thrust plate a high side to the front is a finding",
          "[judge][trade]") {
    CamFigures cam = held_by(Retention::none, Follower::flat);
    CHECK_FALSE(said(judged(cam), "finding"));
    cam.lobes[1].taper = {TaperDatum::mastered, HighSide::front, {-0.02, 0.002},
                          {-0.02, 0.002},       {-0.019, 0.002}, {-0.021, 0.002}};
    CHECK(judged(cam).verdict == Verdict::reuse);
    CHECK(said(judged(cam), "finding: high side to the front, so the lobe pushes the cam forward"));
    cam.cam.retention = Retention::thrust_plate;
    CHECK_FALSE(said(judged(cam), "finding"));
}

TEST_CASE("common practice, no source: with a thrust plate, taper all one way is a note and no fault",
          "[judge][trade]") {
    CamFigures cam = good_cam();
    CHECK_FALSE(said(judged(cam), "every lobe pushes the cam"));
    cam.thrust = {Push::rear, {1.0, 0.05}};
    CHECK(judged(cam).verdict == Verdict::reuse);
    CHECK(said(judged(cam), "every lobe pushes the cam to the rear: a loss at the thrust plate, no fault"));
    CHECK(said(judged(cam), "high sides that alternate let the pushes cancel"));
}

TEST_CASE("common practice, no source: a roller cam without a plate is held by a button", "[judge][trade]") {
    CamFigures cam = held_by(Retention::none, Follower::roller);
    for (auto& lobe : cam.lobes) lose_all_taper(lobe);
    CHECK(said(judged(cam), "no thrust plate or button is given"));
    cam.cam.retention = Retention::button;
    CHECK_FALSE(said(judged(cam), "button"));
    CHECK(judged(cam).verdict == Verdict::reuse);
}

TEST_CASE(
    "common practice, no source: a nose flat across its width on tapered ramps is fit, and the report says "
    "why",
    "[judge][trade]") {
    CamFigures cam = good_cam();
    cam.lobes[0].taper.nose_mm = none_left;
    cam.lobes[0].wear.flat_arc_deg = {40.0, 1.0};
    CHECK(judged(cam).verdict == Verdict::reuse);
    CHECK(said(judged(cam), "no fault while the ramps keep their taper"));
    CHECK(said(judged(cam), "over so many cam degrees: 1E 40"));
}

TEST_CASE("common practice, no source: the ramps outrank the nose, which passes in a millisecond",
          "[judge][trade]") {
    CamFigures flat_nose = good_cam(), flat_ramps = good_cam();
    flat_nose.lobes[0].taper.nose_mm = none_left;
    flat_nose.lobes[0].wear.flat_arc_deg = {10.0, 1.0};
    lose_ramps(flat_ramps.lobes[0]);
    CHECK(judged(flat_nose).lobes[0].verdict == Verdict::reuse);
    CHECK(judged(flat_ramps).lobes[0].verdict == Verdict::regrind);
    CHECK(said(judged(flat_nose), "about a millisecond, too short to slow a spinning tappet"));
    CHECK_FALSE(said(judged(flat_ramps), "millisecond"));
}

TEST_CASE("common practice, no source: a run-in that took the taper all round has failed", "[judge][trade]") {
    CamFigures cam = good_cam();
    cam.reference.condition = Condition::before;
    cam.used.condition = Condition::after;
    CHECK(said(judged(cam), "the run-in left its taper to every lobe"));
    lose_all_taper(cam.lobes[1]);
    CHECK(judged(cam).lobes[1].verdict == Verdict::regrind);
    CHECK(said(judged(cam), "the run-in failed on 1I"));
    CHECK(said(judged(cam), "those lobes wear out fast"));
    CHECK(said(judged(cam), "the tappets of 1I are finished with"));
}

TEST_CASE("common practice, no source: taper lost on many lobes asks for the oil", "[judge][trade]") {
    CamFigures cam = good_cam();
    for (const char* name : {"2E", "2I"}) cam.lobes.push_back(good_lobe(name, LobeKind::exhaust));
    lose_all_taper(cam.lobes[0]);
    CHECK_FALSE(said(judged(cam), "zinc"));  // one lobe has a cause of its own
    lose_all_taper(cam.lobes[2]);
    CHECK(said(judged(cam), "check the oil, for oil without an anti-wear zinc additive"));
}

TEST_CASE(
    "common practice, no source: oil is uneven along an engine, so wear is shown against the lobes' places",
    "[along][trade]") {
    std::vector<PlacedWear> lobes;
    lobes.reserve(8);
    for (int i = 0; i < 8; ++i)
        lobes.push_back({"L" + std::to_string(i + 1), 20.0 * i, {0.010 + 0.0004 * (i % 3), 0.001}});
    CHECK(along_cam(lobes, Units::mm).notes.empty());  // differences are normal
    const auto says = [](const AlongCam& along, const std::string& part) {
        return std::any_of(along.notes.begin(), along.notes.end(),
                           [&](const std::string& note) { return note.find(part) != std::string::npos; });
    };
    auto odd = lobes;
    odd[2].depth_mm.value = 0.050;
    CHECK(says(along_cam(odd, Units::mm), "L3 wore 0.050 mm"));
    CHECK(says(along_cam(odd, Units::mm), "beside it L2 0.010, L4 0.010"));
    CHECK(says(along_cam(odd, Units::mm), "that tappet's bore, and the oil there"));
    for (int i = 0; i < 8; ++i) lobes[static_cast<std::size_t>(i)].depth_mm.value = 0.005 + 0.004 * i;
    CHECK(says(along_cam(lobes, Units::mm), "suspect less oil at that end, less splash from the rods there"));
}
