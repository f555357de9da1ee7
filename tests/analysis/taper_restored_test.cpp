// The taper a reground lobe gets. Every fact here is common practice, no source.
#include "analysis/regrind/taper_restored.hpp"

#include <catch2/catch.hpp>

using namespace lobewright;

namespace {

TaperKnown ground(double z_mm, double taper_mm) {
    return {z_mm, 12.0, taper_mm, taper_mm, {}};
}

CamInfo cam(Follower follower, Retention retention) {
    CamInfo info;
    info.follower = follower;
    info.retention = retention;
    return info;
}

}  // namespace

TEST_CASE("common practice, no source: rollers and tappets set off centre get no taper", "[regrind]") {
    for (const Follower follower : {Follower::roller, Follower::flat_offset}) {
        const auto plan = restore_taper({ground(30.0, 0.0), ground(60.0, 0.02)},
                                        cam(follower, Retention::thrust_plate), 0.005, {});
        CHECK(plan[0].taper_mm == 0.0);
        CHECK(plan[0].kept);
        CHECK(plan[1].taper_mm == 0.0);
        CHECK_FALSE(plan[1].kept);  // the taper it has must come off
    }
}

TEST_CASE("common practice, no source: without a thrust plate every high side goes to the rear",
          "[regrind]") {
    const auto plan = restore_taper({ground(30.0, 0.022), ground(60.0, -0.022)},
                                    cam(Follower::flat, Retention::none), 0.005, {});
    CHECK(plan[0].taper_mm == Approx(0.022));
    CHECK(plan[0].kept);
    CHECK(plan[1].taper_mm == Approx(0.022));
    CHECK_FALSE(plan[1].kept);
}

TEST_CASE("common practice, no source: with a plate or a button the side stays as it was ground",
          "[regrind]") {
    for (const Retention retention : {Retention::thrust_plate, Retention::button}) {
        const auto plan = restore_taper({ground(30.0, 0.022), ground(60.0, -0.018)},
                                        cam(Follower::flat, retention), 0.005, {});
        CHECK(plan[0].taper_mm == Approx(0.022));
        CHECK(plan[1].taper_mm == Approx(-0.018));
        CHECK(plan[1].kept);
    }
}

TEST_CASE("common practice, no source: where nobody knows, high sides alternate from the front on",
          "[regrind]") {
    const TaperKnown unknown{90.0, 12.0, {}, {}, {}};
    TaperKnown first = unknown, second = unknown;
    first.z_mm = 30.0;
    second.z_mm = 60.0;
    const auto plan =
        restore_taper({unknown, first, second}, cam(Follower::flat, Retention::thrust_plate), 0.005, {});
    CHECK(plan[1].taper_mm == Approx(0.025));   // foremost: to the rear
    CHECK(plan[2].taper_mm == Approx(-0.025));  // next: to the front
    CHECK(plan[0].taper_mm == Approx(0.025));
    // A lobe that was ground flat is none whose taper could be kept.
    const auto flat =
        restore_taper({ground(30.0, 0.001)}, cam(Follower::flat, Retention::thrust_plate), 0.005, {});
    CHECK(flat[0].taper_mm == Approx(0.025));
    CHECK_FALSE(flat[0].kept);
}

TEST_CASE("a size that is asked for counts, on the lobe's own side", "[regrind]") {
    const auto plan =
        restore_taper({ground(30.0, -0.018)}, cam(Follower::flat, Retention::thrust_plate), 0.005, 0.030);
    CHECK(plan[0].taper_mm == Approx(-0.030));
    CHECK_FALSE(plan[0].kept);
}
