// Separation, overlap, advance and index on simulated cams whose centrelines are known.
#include <cmath>

#include <catch2/catch.hpp>

#include "tests/analysis/card_cams.hpp"

using namespace lobewright;
using namespace lobewright::tests;

TEST_CASE("separation and advance are those that the cam was ground to", "[card]") {
    // Both kinds open 3 degrees faster than they close and so lean alike: separation 108 between centrelines, too.
    const Card card = card_at(run_of(launch_cam()), tdc_deg);
    REQUIRE(card.cylinders.size() == 4);
    for (std::size_t i = 0; i < 4; ++i) {
        const CylinderCard& cylinder = card.cylinders[i];
        CHECK(cylinder.cylinder == static_cast<std::int64_t>(i + 1));
        CHECK(cylinder.separation_deg.value == Approx(108.0).margin(0.02));
        // The lean l of both centrelines makes the intake late by 2 l crank degrees.
        const auto intake = std::find_if(card.lobes.begin(), card.lobes.end(), [&](const LobeCard& l) {
            return l.cylinder == cylinder.cylinder && l.kind == LobeKind::intake;
        });
        const double lean = wrapped_deg(intake->nose_deg.measured.value - intake->top_deg.value);
        CHECK(intake->centreline_crank_deg.value == Approx(108.0 + 2.0 * lean).margin(0.05));
        CHECK(cylinder.advance_crank_deg.value == Approx(-2.0 * lean).margin(0.06));
        CHECK(cylinder.intake_index_crank_deg.value == Approx(0.0).margin(0.02));
        CHECK(cylinder.exhaust_index_crank_deg.value == Approx(0.0).margin(0.02));
    }
    // A timing set 4 crank degrees early: dead centre comes 2 cam degrees later on the cam.
    const Card advanced = card_at(run_of(launch_cam()), tdc_deg + 2.0);
    CHECK(advanced.cylinders[2].advance_crank_deg.value - card.cylinders[2].advance_crank_deg.value ==
          Approx(4.0).margin(1e-9));
}

TEST_CASE("overlap lies between where the intake opens and the exhaust closes", "[card]") {
    const Card card = card_at(run_of(launch_cam(1)), tdc_deg);
    const LobeCard& exhaust = card.lobes[0];
    const LobeCard& intake = card.lobes[1];
    for (std::size_t i = 0; i < card.lifts_mm.size(); ++i) {
        // By the crank: closes after dead centre less opens after it.
        CHECK(card.cylinders[0].overlaps[i].crank_deg.value ==
              Approx(exhaust.durations[i].closes_crank_deg.value - intake.durations[i].opens_crank_deg.value)
                  .margin(1e-9));
    }
    // Half of both durations less twice the separation, as both lobes stand evenly about dead centre but for their lean.
    const double halves = 0.5 * (exhaust.durations[1].crank_deg.value + intake.durations[1].crank_deg.value);
    const double lean = 0.5 * (exhaust.asymmetry_crank_deg.value - intake.asymmetry_crank_deg.value);
    CHECK(card.cylinders[0].overlaps[1].crank_deg.value ==
          Approx(halves + lean - 2.0 * card.cylinders[0].separation_deg.value).margin(1e-6));
    CHECK(intake.durations[1].opens_crank_deg.value > 0.0);  // 18 degrees between them at 1.27 mm
}

TEST_CASE("a lobe ground out of its place shows in the index of its kind", "[card]") {
    CamModel cam = launch_cam();
    named(cam, "3I").nose_deg += 0.4;
    const Card card = card_at(run_of(cam));
    // 0.8 crank degrees late; the mean of the four takes a quarter of it.
    CHECK(card.cylinders[2].intake_index_crank_deg.value == Approx(0.6).margin(0.02));
    CHECK(card.cylinders[0].intake_index_crank_deg.value == Approx(-0.2).margin(0.02));
    CHECK(card.cylinders[2].exhaust_index_crank_deg.value == Approx(0.0).margin(0.02));
    CHECK(card.cylinders[2].separation_deg.value == Approx(108.4).margin(0.02));
    CHECK_FALSE(card.cylinders[2].advance_crank_deg.known());
    CHECK(said(card.notes, "--tdc"));
}

TEST_CASE("what doesn't fit the engine is said, not guessed", "[card]") {
    SECTION("top dead centre of the other stroke") {
        const Card other = card_at(run_of(launch_cam(1)), tdc_deg + 180.0);
        CHECK(said(other.notes, "isn't the top dead centre"));
        CHECK_FALSE(other.cylinders[0].advance_crank_deg.known());
        CHECK_FALSE(other.lobes[0].centreline_crank_deg.known());
        CHECK_FALSE(said(card_at(run_of(launch_cam(1)), tdc_deg).notes, "isn't the top dead centre"));
    }
    SECTION("no cylinder 1") {
        CamModel cam = launch_cam();
        cam.lobes.erase(cam.lobes.begin(), cam.lobes.begin() + 2);
        const Card card = card_at(run_of(cam), tdc_deg);
        CHECK(card.cylinders.size() == 3);
        CHECK_FALSE(card.cylinders[0].advance_crank_deg.known());
        CHECK(said(card.notes, "--tdc is cylinder 1's"));
    }
    SECTION("uneven firing") {
        CamModel cam = launch_cam(2);  // numbered as of two cylinders, a quarter turn apart
        const Card card = card_at(run_of(cam));
        CHECK_FALSE(card.cylinders[0].intake_index_crank_deg.known());
        CHECK(said(card.notes, "multiples of 360 crank degrees"));
    }
    SECTION("two intake lobes of one cylinder") {
        CamModel cam = launch_cam(2);
        named(cam, "2E").lobe.kind = LobeKind::intake;
        const Card card = card_at(run_of(cam));
        CHECK(card.cylinders.size() == 1);
        CHECK(said(card.notes, "cylinder 2: not one intake and one exhaust lobe"));
    }
    SECTION("kinds mixed up") {
        CamModel cam = launch_cam(1);
        std::swap(cam.lobes[0].lobe.kind, cam.lobes[1].lobe.kind);
        CHECK(said(card_at(run_of(cam)).notes, "doesn't follow its exhaust lobe"));
    }
    SECTION("cylinders not given") {
        CamModel cam = launch_cam(1);
        for (LobeModel& lobe : cam.lobes) lobe.lobe.cylinder.reset();
        const Card card = card_at(run_of(cam));
        CHECK(card.cylinders.empty());
        CHECK(said(card.notes, "[[lobe]] cylinder"));
    }
    SECTION("no rocker ratio, no tappet, no base diameter, no error limit") {
        Run run = run_of(launch_cam(1));
        CHECK(card_at(run).lobes[0].valve_lift_mm.value == Approx(1.5 * 5.6).margin(0.002));
        run.valvetrain.reset();
        run.tappet.reset();
        run.lobes[0].base_diameter_mm.reset();
        run.rig.error_limit_mm.reset();
        const Card card = card_at(run);
        CHECK_FALSE(card.lobes[0].valve_lift_mm.known());
        CHECK_FALSE(card.lobes[0].opening_clearance_mm.known());
        CHECK_FALSE(card.lobes[0].least_radius_mm.known());
        CHECK(card.lobes[1].least_radius_mm.known());
        for (const char* word : {"rocker_ratio", "[tappet] diameter", "base_diameter", "error_limit"})
            CHECK(said(card.notes, word));
    }
}
