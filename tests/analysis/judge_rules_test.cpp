// Which rules a lobe stands under and what they make of it. Limits and trade facts are common practice, no
// source.
#include <functional>

#include <catch2/catch.hpp>

#include "analysis/judge/decision.hpp"
#include "analysis/judge/judgement.hpp"
#include "tests/analysis/judge_fixture.hpp"

using namespace lobewright;
using lobewright::tests::good_cam;

namespace {

struct Row {
    const char* legend;
    std::function<void(CamFigures&, LobeFigures&)> spoil;
    Verdict verdict;
    const char* rule;  // of the deciding ruling
};

LobeJudgement judge_first(const CamFigures& cam, const Limits& limits = {}) {
    return judge(cam, limits, Units::mm).lobes.front();
}

}  // namespace

TEST_CASE("one thing wrong decides the lobe", "[judge]") {
    // The built-in limits: lift loss 0.13, runout 0.05, ramp taper at least 0.005, taper without need 0.010
    // mm.
    const auto row = GENERATE(values<Row>({
        {"nothing wrong: the rule with least room decides", [](CamFigures&, LobeFigures&) {}, Verdict::reuse,
         "ramp taper"},
        {"lift loss proved within", [](auto&, auto& lobe) { lobe.lift.loss_mm = {0.125, 0.004}; }, Verdict::reuse,
         "lift loss"},
        {"lift loss spans the limit", [](auto&, auto& lobe) { lobe.lift.loss_mm = {0.13, 0.004}; },
         Verdict::remeasure, "lift loss"},
        {"lift loss proved over", [](auto&, auto& lobe) { lobe.lift.loss_mm = {0.4, 0.004}; }, Verdict::regrind,
         "lift loss"},
        {"lift loss unknown", [](auto&, auto& lobe) { lobe.lift.loss_mm = {}; }, Verdict::remeasure, "lift loss"},
        {"runout over at the front edge", [](auto&, auto& lobe) { lobe.base_circle.runout_mm.front = {0.06, 0.002}; },
         Verdict::regrind, "base-circle runout"},
        {"runout over at the rear edge", [](auto&, auto& lobe) { lobe.base_circle.runout_mm.rear = {0.06, 0.002}; },
         Verdict::regrind, "base-circle runout"},
        {"runout spans the limit", [](auto&, auto& lobe) { lobe.base_circle.runout_mm.rear = {0.051, 0.002}; },
         Verdict::remeasure, "base-circle runout"},
        {"taper gone on both ramps",
         [](auto&, auto& lobe) {
             lobe.taper.opening_mm = {0.0001, 0.002};
             lobe.taper.closing_mm = {-0.0003, 0.002};
         },
         Verdict::regrind, "ramp taper"},
        {"taper gone on one ramp", [](auto&, auto& lobe) { lobe.taper.closing_mm = {0.001, 0.002}; },
         Verdict::regrind, "ramp taper"},
        {"taper on one ramp spans the least", [](auto&, auto& lobe) { lobe.taper.opening_mm = {0.006, 0.002}; },
         Verdict::remeasure, "ramp taper"},
        {"taper unknown on one ramp", [](auto&, auto& lobe) { lobe.taper.opening_mm = {}; }, Verdict::remeasure,
         "ramp taper"},
        {"taper unknown on one ramp and gone on the other",
         [](auto&, auto& lobe) {
             lobe.taper.opening_mm = {};
             lobe.taper.closing_mm = {0.001, 0.002};
         },
         Verdict::regrind, "ramp taper"},
        {"high side to the front turns a tappet as well",
         [](auto&, auto& lobe) {
             lobe.taper.opening_mm = {-0.02, 0.002};
             lobe.taper.closing_mm = {-0.021, 0.002};
         },
         Verdict::reuse, "ramp taper"},
        {"ramps with enough taper, high to opposite sides, turn it there and back",
         [](auto&, auto& lobe) {
             lobe.taper.opening_mm = {0.02, 0.002};
             lobe.taper.closing_mm = {-0.012, 0.002};
         },
         Verdict::regrind, "ramp taper"},
        {"flat nose on tapered ramps", [](auto&, auto& lobe) {
             lobe.taper.nose_mm = {0.0, 0.002};
             lobe.wear.flat_arc_deg = {14.0, 1.0};
         },
         Verdict::reuse, "ramp taper"},
        {"no datum: ramp taper can't be known",
         [](auto&, auto& lobe) { lobe.taper.datum = TaperDatum::base_circle; }, Verdict::remeasure, "ramp taper"},
        {"no datum, but the lift is gone: not fit whatever the taper",
         [](auto&, auto& lobe) {
             lobe.taper.datum = TaperDatum::base_circle;
             lobe.lift.loss_mm = {0.4, 0.004};
         },
         Verdict::regrind, "lift loss"},
        {"something bad and something open: not fit",
         [](auto&, auto& lobe) {
             lobe.taper.closing_mm = {0.006, 0.002};
             lobe.base_circle.runout_mm.front = {0.06, 0.002};
         },
         Verdict::regrind, "base-circle runout"},
        {"taper outranks lift loss when both are bad",
         [](auto&, auto& lobe) {
             lobe.taper.closing_mm = {0.001, 0.002};
             lobe.lift.loss_mm = {0.4, 0.004};
         },
         Verdict::regrind, "ramp taper"},
        {"roller: taper is a fault",
         [](auto& cam, auto&) { cam.cam.follower = Follower::roller; }, Verdict::regrind, "taper"},
        {"roller: no taper is right",
         [](auto& cam, auto& lobe) {
             cam.cam.follower = Follower::roller;
             lobe.taper.base_mm = lobe.taper.opening_mm = {0.001, 0.002};
             lobe.taper.nose_mm = lobe.taper.closing_mm = {-0.001, 0.002};
         },
         Verdict::reuse, "taper"},
        {"roller without a datum: whether it has taper isn't known",
         [](auto& cam, auto& lobe) {
             cam.cam.follower = Follower::roller;
             lobe.taper.datum = TaperDatum::base_circle;
         },
         Verdict::remeasure, "taper"},
        {"offset tappet: no taper is right",
         [](auto& cam, auto& lobe) {
             cam.cam.follower = Follower::flat_offset;
             lobe.taper.opening_mm = lobe.taper.closing_mm = {0.0, 0.002};
         },
         Verdict::reuse, "base-circle runout"},
        {"offset tappet: taper is a finding, no fault",
         [](auto& cam, auto&) { cam.cam.follower = Follower::flat_offset; }, Verdict::reuse, "base-circle runout"},
        {"offset tappet without a datum is judged by the rest",
         [](auto& cam, auto& lobe) {
             cam.cam.follower = Follower::flat_offset;
             lobe.taper.datum = TaperDatum::base_circle;
         },
         Verdict::reuse, "base-circle runout"},
        {"no reference: lift loss isn't judged",
         [](auto& cam, auto& lobe) {
             cam.has_reference = false;
             lobe.lift.loss_mm = {};
         },
         Verdict::reuse, "ramp taper"},
    }));
    INFO(row.legend);
    CamFigures cam = good_cam();
    row.spoil(cam, cam.lobes.front());
    const LobeJudgement lobe = judge_first(cam);
    CHECK(lobe.verdict == row.verdict);
    CHECK(deciding_rulings(lobe).front().rule == row.rule);
    CHECK(lobe.rulings.front().rule == row.rule);
}

TEST_CASE("of two bad ramps the lesser comes first", "[judge]") {
    CamFigures cam = good_cam();
    cam.lobes.front().taper.opening_mm = {0.002, 0.001};
    cam.lobes.front().taper.closing_mm = {0.0005, 0.001};
    const std::vector<Ruling> deciding = deciding_rulings(judge_first(cam));
    REQUIRE(deciding.size() == 2);
    CHECK(deciding[0].says.rfind("closing ramp taper", 0) == 0);
    CHECK(deciding[1].says.rfind("opening ramp taper", 0) == 0);
}

TEST_CASE("a reason says figure, U, limit, where the limit is from, and what follows", "[judge]") {
    CamFigures cam = good_cam();
    cam.lobes.front().taper.closing_mm = {0.001, 0.002};
    CHECK(judge_first(cam).rulings.front().says ==
          "closing ramp taper 0.0010 +/- 0.0020 mm is below the least of 0.005 mm (common practice): the "
          "tappet "
          "won't turn");
    Limits shop;
    shop.source = "shop.toml";
    CHECK(judge_first(cam, shop).rulings.front().says ==
          "closing ramp taper 0.0010 +/- 0.0020 mm is below the least of 0.005 mm: the tappet won't turn");
    CHECK(judge(cam, shop, Units::in).lobes.front().rulings.front().says ==
          "closing ramp taper 0.000039 +/- 0.000079 in is below the least of 0.000197 in: the tappet won't "
          "turn");
}

TEST_CASE("a ramp high to the other side is said to turn the tappet back", "[judge]") {
    CamFigures cam = good_cam();
    cam.lobes.front().taper.opening_mm = {-0.02, 0.002};
    cam.lobes.front().taper.closing_mm = {0.012, 0.002};
    const Ruling ruling = judge_first(cam).rulings.front();
    CHECK(ruling.figure.value == -0.012);  // toward the lobe's high side, which is the opening ramp's
    CHECK(ruling.says.find("the tappet is turned back") != std::string::npos);
}

TEST_CASE("without a datum the reason says what to do", "[judge]") {
    CamFigures cam = good_cam();
    cam.lobes.front().taper.datum = TaperDatum::base_circle;
    const Ruling ruling = judge_first(cam).rulings.front();
    CHECK_FALSE(ruling.figure.known());
    CHECK(ruling.says.find("no front-to-rear zero") != std::string::npos);
    CHECK(ruling.says.find("take a datum") != std::string::npos);
}

TEST_CASE("the shop's limits decide in place of the built-in ones", "[judge]") {
    CamFigures cam = good_cam();
    cam.lobes.front().lift.loss_mm = {0.2,
                                      0.004};  // heavy engines are let go to 0.25 to 0.3 mm: common practice
    Limits shop;
    shop.lift_loss_mm = 0.25;
    CHECK(judge_first(cam).verdict == Verdict::regrind);
    CHECK(judge_first(cam, shop).verdict == Verdict::reuse);
    shop.least_ramp_taper_mm = 0.03;
    CHECK(judge_first(cam, shop).rulings.front().rule == "ramp taper");
    CHECK(judge_first(cam, shop).verdict == Verdict::regrind);
}
