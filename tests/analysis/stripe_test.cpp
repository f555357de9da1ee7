// The band that running should leave: on simulated cams whose taper, crown and load are known.
#include "analysis/contact/stripe.hpp"

#include <algorithm>
#include <cmath>

#include <catch2/catch.hpp>

#include "analysis/compare.hpp"
#include "analysis/contact/thrust_map.hpp"
#include "analysis/errors.hpp"
#include "tests/analysis/card_cams.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

const StripeAt& at(const LobeStripe& lobe, StripePlace place) {
    return *std::find_if(lobe.places.begin(), lobe.places.end(),
                         [&](const StripeAt& one) { return one.at == place; });
}

double width(const LobeStripe& lobe, StripePlace place) {
    return at(lobe, place).band.value().width_mm();
}

}  // namespace

TEST_CASE("the band is narrowest on the heel, wider on the ramps, widest at the nose", "[contact][stripe]") {
    // Common practice, no source.
    const StripeReport report = stripe_report(run_of(launch_cam(), zeroed_rig()));
    REQUIRE(report.lobes.size() == 8);
    for (const LobeStripe& lobe : report.lobes) {
        CAPTURE(lobe.name);
        CHECK(width(lobe, StripePlace::heel) < width(lobe, StripePlace::opening));
        CHECK(width(lobe, StripePlace::heel) < width(lobe, StripePlace::closing));
        CHECK(width(lobe, StripePlace::opening) < width(lobe, StripePlace::nose));
        CHECK(width(lobe, StripePlace::closing) < width(lobe, StripePlace::nose));
        CHECK_FALSE(said(lobe.notes, "doesn't widen"));
    }
}

TEST_CASE("on a healthy lobe some of the low side stays dull at the nose", "[contact][stripe]") {
    // Common practice, no source.
    const CamModel cam = launch_cam(1);
    const StripeReport report = stripe_report(run_of(cam, zeroed_rig()));
    for (std::size_t i = 0; i < 2; ++i) {
        const LobeStripe& lobe = report.lobes[i];
        CHECK(lobe.dull_at_nose_mm.value() > 0.1);
        const bool rear = cam.lobes[i].taper_mm > 0.0;
        const Band& nose = at(lobe, StripePlace::nose).band.value();
        CHECK((0.5 * (nose.from_mm + nose.to_mm) > 0.0) == rear);  // toward the high side
    }
}

TEST_CASE("the arm that turns the tappet is crown radius x taper slope", "[contact][stripe]") {
    CamModel cam = launch_cam(1);
    cam.lobes[0].taper_mm = 0.024;
    const StripeReport report = stripe_report(run_of(cam, zeroed_rig()));
    for (const StripePlace place : {StripePlace::opening, StripePlace::nose, StripePlace::closing}) {
        const Measured& arm = at(report.lobes[0], place).centre_mm;
        CHECK(arm.value == Approx(1270.0 * 0.024 / cam.lobes[0].lobe.width_mm).margin(arm.u95));
    }
    // Each place carries its own taper's u95.
    const TaperFigures taper = inspect_run(run_of(cam, zeroed_rig())).lobes[0].taper;
    const double arm_per_taper = 1270.0 / cam.lobes[0].lobe.width_mm;
    CHECK(at(report.lobes[0], StripePlace::heel).centre_mm.u95 == Approx(arm_per_taper * taper.base_mm.u95));
    CHECK(at(report.lobes[0], StripePlace::nose).centre_mm.u95 == Approx(arm_per_taper * taper.nose_mm.u95));
}

TEST_CASE("without taper nothing is sure to turn the tappet", "[contact][stripe]") {
    CamModel cam = launch_cam(1);
    cam.lobes[0].taper_mm = 0.0;
    const StripeReport report = stripe_report(run_of(cam, zeroed_rig()));
    CHECK(said(report.lobes[0].notes, "nothing is sure to turn the tappet"));
    CHECK_FALSE(report.lobes[0].dull_at_nose_mm.has_value());
    CHECK_FALSE(said(report.lobes[1].notes, "nothing is sure to turn the tappet"));
}

TEST_CASE("what the eye saw stands beside what was expected, and a mismatch says what to look at",
          "[contact][stripe]") {
    CamModel cam = launch_cam(1);
    cam.lobes[0].taper_mm = 0.022;
    const double expected = width(stripe_report(run_of(cam, zeroed_rig())).lobes[0], StripePlace::nose);
    struct Row {
        Stripe seen;
        StripeMatch match;
        const char* says;
    };
    const auto row = GENERATE_COPY(values<Row>(
        {{{StripePlace::nose, expected, StripeSide::rear}, StripeMatch::as_expected, "as expected"},
         {{StripePlace::nose, 12.0, StripeSide::both}, StripeMatch::wider, "taper or crown is gone"},
         {{StripePlace::nose, 11.5, StripeSide::rear}, StripeMatch::wider, "less oil at this lobe"},
         {{StripePlace::nose, 2.0, StripeSide::neither}, StripeMatch::narrower, "more oil at this lobe"},
         {{StripePlace::nose, expected, StripeSide::front},
          StripeMatch::other_side,
          "which end was called"}}));
    cam.lobes[0].lobe.stripes = {row.seen};
    const StripeReport report = stripe_report(run_of(cam, zeroed_rig()));
    const SeenStripe seen = at(report.lobes[0], StripePlace::nose).seen.value();
    CHECK(seen.match == row.match);
    CHECK(seen.says.find(row.says) != std::string::npos);
    CHECK_FALSE(at(report.lobes[0], StripePlace::heel).seen.has_value());
}

TEST_CASE("what isn't given is assumed aloud or not said", "[contact][stripe]") {
    CamModel cam = launch_cam(1);
    SECTION("no crown: an assumed one is named") {
        cam.tappet.reset();
        const StripeReport report = stripe_report(run_of(cam, zeroed_rig()));
        CHECK(said(report.assumed, "a crown of 1270 mm"));
        CHECK(report.lobes[0].highest_peak_n_per_mm2.has_value());
        CHECK_FALSE(report.lobes[0].least_clearance_mm.has_value());
    }
    SECTION("no load: no width and no pressure, but where the middle lies") {
        cam.valvetrain.reset();
        const StripeReport report = stripe_report(run_of(cam, zeroed_rig()));
        CHECK(said(report.notes, "load isn't known"));
        CHECK_FALSE(at(report.lobes[0], StripePlace::nose).band.has_value());
        CHECK_FALSE(report.lobes[0].highest_peak_n_per_mm2.has_value());
        CHECK(std::abs(at(report.lobes[0], StripePlace::nose).centre_mm.value) > 1.0);
    }
    SECTION("no base diameter: the same") {
        cam.lobes[0].lobe.base_diameter_mm.reset();
        const StripeReport report = stripe_report(run_of(cam, zeroed_rig()));
        CHECK(said(report.notes, "no base_diameter"));
        CHECK_FALSE(at(report.lobes[0], StripePlace::nose).band.has_value());
        CHECK(at(report.lobes[1], StripePlace::nose).band.has_value());
    }
}

TEST_CASE("what no band can be worked out for is refused with what to do", "[contact][stripe]") {
    CamModel cam = launch_cam(1);
    RigModel rig = zeroed_rig();
    SECTION("no front-to-rear zero") {
        rig.datum.reset();
        CHECK_THROWS_WITH(stripe_report(run_of(cam, rig)), Catch::Contains("take a datum"));
    }
    SECTION("a roller") {
        cam.info.follower = Follower::roller;
        cam.info.follower_radius_mm = 10.0;
        CHECK_THROWS_WITH(stripe_report(run_of(cam, rig)), Catch::Contains("flat tappets only"));
    }
    SECTION("a tappet off the middle: no stripe to one side is expected") {
        // Common practice, no source.
        cam.info.follower = Follower::flat_offset;
        CHECK_THROWS_WITH(stripe_report(run_of(cam, rig)), Catch::Contains("no band to one side"));
    }
    SECTION("a speed without a mass") {
        ContactOptions options;
        options.running.crank_rpm = 3000.0;
        CHECK_THROWS_AS(stripe_report(run_of(cam, rig), options), UsageError);
    }
}

TEST_CASE("inertia loads the flanks and relieves the nose", "[contact][stripe]") {
    const Run run = run_of(launch_cam(1), zeroed_rig());
    ContactOptions fast;
    fast.running = {3000.0, 0.2};
    const StripeReport slow = stripe_report(run), quick = stripe_report(run, fast);
    CHECK(at(quick.lobes[0], StripePlace::nose).load_n.value() <
          at(slow.lobes[0], StripePlace::nose).load_n.value() - 50.0);
}

TEST_CASE("the cam's push is the sum of its lobes' pushes, and alternating sides cancel",
          "[contact][thrust]") {
    CamModel cam = launch_cam();
    for (std::size_t i = 0; i < 8; ++i) cam.lobes[i].taper_mm = i % 2 == 0 ? 0.022 : -0.022;
    const ThrustMap both = thrust_map(run_of(cam, zeroed_rig()));
    double sum = 0.0;
    for (const LobePush& lobe : both.lobes) sum += lobe.mean_n.value;
    CHECK(both.mean_n.value == Approx(sum).margin(1e-9));
    CHECK(std::abs(both.mean_n.value) < 0.1 * std::abs(both.lobes[0].mean_n.value) * 8.0);
    for (auto& lobe : cam.lobes) lobe.taper_mm = 0.022;
    const ThrustMap one_way = thrust_map(run_of(cam, zeroed_rig()));
    CHECK(one_way.mean_n.value > 6.0 * one_way.lobes[0].mean_n.value);
    CHECK(one_way.farthest_front.push_n > 0.0);
}

TEST_CASE("a lobe's largest push is load times slope at the nose or beside it", "[contact][thrust]") {
    CamModel cam = launch_cam(1);
    cam.lobes[0].taper_mm = 0.024;
    const ThrustMap map = thrust_map(run_of(cam, zeroed_rig()));
    // Seat force and rate of the model's valve train at the lobe's full lift, over the width.
    const double at_nose = (350.0 + 45.0 * cam.lobes[0].lift_mm) * 0.024 / cam.lobes[0].lobe.width_mm;
    CHECK(map.lobes[0].largest_n.value == Approx(at_nose).epsilon(0.03));
    // Load is exact here: the push errs as the taper does at one angle, a little more than over the nose's 4 degrees.
    const double at_nose_u95 =
        at_nose / 0.024 * inspect_run(run_of(cam, zeroed_rig())).lobes[0].taper.nose_mm.u95;
    CHECK(map.lobes[0].largest_n.u95 > at_nose_u95);
    CHECK(map.lobes[0].largest_n.u95 < 1.4 * at_nose_u95);
}

TEST_CASE(
    "a lobe's mean push lies within its u95 of load times slope, and the cam's u95 is the lobes' together",
    "[contact][thrust]") {
    CamModel cam = launch_cam(1);
    cam.lobes[0].taper_mm = 0.024;
    RigModel rig = zeroed_rig();
    rig.info.error_limit_mm = 0.001;
    // Heel at a tenth of the seat force, seat force and rate times lift elsewhere; an event of 84 degrees either way.
    double load = 0.0;
    const LobeShape shape(cam.lobes[0]);
    for (int i = 0; i < 3600; ++i) {
        const double lift = shape.lift(rad_from_deg(wrapped_deg(0.1 * i))).h;
        load += (lift > 1e-3 ? 350.0 + 45.0 * lift : 35.0) / 3600.0;
    }
    const double expected = load * 0.024 / cam.lobes[0].lobe.width_mm;
    int inside = 0;
    for (int seed = 0; seed < 20; ++seed) {
        const ThrustMap map =
            thrust_map(simulate_run(cam, rig, {}, {}, {}, 100 + static_cast<std::uint64_t>(seed)));
        const Measured& mean = map.lobes[0].mean_n;
        inside += std::abs(mean.value - expected) <= mean.u95 + 0.01 * expected ? 1 : 0;
        CHECK(mean.u95 < 0.3 * expected);
        CHECK(map.mean_n.u95 == Approx(map.lobes[0].mean_n.u95 + map.lobes[1].mean_n.u95));
    }
    CHECK(inside >= 17);
}

TEST_CASE("what holds the cam is set beside the push", "[contact][thrust]") {
    // Common practice, no source.
    CamModel cam = launch_cam(1);
    SECTION("no thrust plate and a lobe high to the front") {
        cam.info.retention = Retention::none;
        cam.lobes[0].taper_mm = 0.022;
        cam.lobes[1].taper_mm = -0.022;
        const ThrustMap map = thrust_map(run_of(cam, zeroed_rig()));
        CHECK(said(map.notes, "every high side belongs to the rear"));
        CHECK(said(map.notes, "push the cam forward"));
        CHECK(
            said(map.notes,
                 "high side to the front, so that the lobe pushes the cam forward, where nothing holds it: " +
                     cam.lobes[1].lobe.name));
    }
    SECTION("a thrust plate") {
        CHECK(said(thrust_map(run_of(cam, zeroed_rig())).notes, "no fault"));
    }
    SECTION("the drive gear is named") {
        CHECK(said(thrust_map(run_of(cam, zeroed_rig())).notes, "drive gear pulls"));
    }
}
