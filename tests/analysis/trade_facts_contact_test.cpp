// What the trade knows of the bright band and of the push along the cam, a fact a test, on simulated cams. All of it is
// common practice, no source.
#include <cmath>
#include <string>

#include <catch2/catch.hpp>

#include "analysis/contact/stripe.hpp"
#include "analysis/contact/thrust_map.hpp"
#include "tests/analysis/card_cams.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

CamModel tapered(double first_mm, double second_mm) {
    CamModel cam = launch_cam(1);
    cam.lobes[0].taper_mm = first_mm;
    cam.lobes[1].taper_mm = second_mm;
    return cam;
}

ThrustMap pushes_of(const CamModel& cam) {
    return thrust_map(run_of(cam, zeroed_rig()));
}

double nose_width(const LobeStripe& lobe) {
    return lobe.places.at(2).band.value().width_mm();
}

}  // namespace

TEST_CASE("common practice, no source: taper pushes the cam toward the lobe's high side", "[thrust][trade]") {
    const ThrustMap map = pushes_of(tapered(0.022, -0.022));
    CHECK(map.lobes[0].high_side == HighSide::rear);
    CHECK(map.lobes[0].mean_n.value > 0.0);
    CHECK(map.lobes[1].high_side == HighSide::front);
    CHECK(map.lobes[1].mean_n.value < 0.0);
}

TEST_CASE("common practice, no source: high sides that alternate cancel, all one way is a loss and no fault",
          "[thrust][trade]") {
    CamModel cam = tapered(0.022, -0.022);
    const ThrustMap both = pushes_of(cam), one_way = pushes_of(tapered(0.022, 0.022));
    CHECK(std::abs(both.mean_n.value) < 0.1 * std::abs(one_way.mean_n.value));
    CHECK(both.by_taper.pushes == Push::balanced);
    CHECK(one_way.by_taper.share.value == Approx(1.0));
    CHECK(said(one_way.notes, "all one way is a loss at the plate, no fault"));
}

TEST_CASE("common practice, no source: without a plate the taper holds the cam to the rear",
          "[thrust][trade]") {
    CamModel cam = tapered(0.022, -0.022);
    cam.info.retention = Retention::none;
    const ThrustMap map = pushes_of(cam);
    CHECK(said(map.notes, "every high side belongs to the rear"));
    CHECK(said(map.notes, "finding: high side to the front"));
    CHECK(said(map.notes, "finding: through part of the turn the lobes push the cam forward"));
}

TEST_CASE(
    "common practice, no source: a skew-cut gear's pull, one way under load and the other on the overrun, is "
    "named",
    "[thrust][trade]") {
    for (const Retention retention : {Retention::thrust_plate, Retention::none, Retention::button}) {
        CamModel cam = tapered(0.022, 0.022);
        cam.info.retention = retention;
        CHECK(
            said(pushes_of(cam).notes,
                 "a skew-cut drive gear pulls the cam one way under load and the other way on the overrun"));
    }
}

TEST_CASE(
    "common practice, no source: the band is faint on the heel, widens up the ramp, is widest at the nose, "
    "and leaves "
    "a little of the low side dull",
    "[stripe][trade]") {
    const StripeReport report = stripe_report(run_of(tapered(0.022, -0.022), zeroed_rig()));
    for (const LobeStripe& lobe : report.lobes) {
        CAPTURE(lobe.name);
        const double heel = lobe.places[0].band.value().width_mm(),
                     up = lobe.places[1].band.value().width_mm(), nose = nose_width(lobe),
                     down = lobe.places[3].band.value().width_mm();
        CHECK(heel < up);
        CHECK(up < nose);
        CHECK(nose > down);
        CHECK(down > heel);
        CHECK(nose < lobe.width_mm);        // nearly,
        CHECK(nose > 0.6 * lobe.width_mm);  // not wholly, the full width
        CHECK(lobe.dull_at_nose_mm.value() > 0.0);
    }
}

TEST_CASE("common practice, no source: more oil makes a narrower band, less a wider one", "[stripe][trade]") {
    CamModel cam = tapered(0.022, 0.022);
    const double expected = nose_width(stripe_report(run_of(cam, zeroed_rig())).lobes[0]);
    cam.lobes[0].lobe.stripes = {{StripePlace::nose, expected + 2.0, StripeSide::rear}};
    cam.lobes[1].lobe.stripes = {{StripePlace::nose, expected - 4.0, StripeSide::rear}};
    const StripeReport report = stripe_report(run_of(cam, zeroed_rig()));
    CHECK(report.lobes[0].places[2].seen.value().says.find("less oil at this lobe") != std::string::npos);
    CHECK(report.lobes[1].places[2].seen.value().says.find("more oil at this lobe and a thicker film") !=
          std::string::npos);
}
