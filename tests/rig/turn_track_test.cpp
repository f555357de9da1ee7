// Coverage of a turn by hand-made points: what is covered, passed over, turned back, read again.
#include "rig/acquisition/turn_track.hpp"

#include <catch2/catch.hpp>

using namespace lobewright;

namespace {

/// Points each half degree from one angle to another, forward or back.
Step turn(TurnTrack& track, double from_deg, double to_deg, double front_mm = 0.0, double rear_mm = 0.0) {
    Step last = Step::first;
    const double way = to_deg > from_deg ? 0.5 : -0.5;
    for (double deg = from_deg; way * deg <= way * to_deg; deg += way)
        last = track.take({deg, front_mm, rear_mm});
    return last;
}

}  // namespace

TEST_CASE("a stretch is covered where neighbours are close, and open elsewhere", "[rig][track]") {
    TurnTrack track(1.0, 1.0);
    CHECK(missing_stretches(track.passes()) == std::vector<Stretch>{{0.0, 360.0}});
    turn(track, 350.0, 480.0);
    const auto missing = missing_stretches(track.passes());
    REQUIRE(missing.size() == 1);
    CHECK(missing[0].from_deg == Approx(120.1));
    CHECK(missing[0].to_deg == Approx(350.0));
    CHECK(covers(track.passes(), {350.0, 480.0}));
    CHECK_FALSE(covers(track.passes(), {340.0, 350.0}));
}

TEST_CASE("a jump further than the finest gap is a gap from here to there", "[rig][track]") {
    TurnTrack track(1.0, 1.0);
    turn(track, 0.0, 118.0);
    CHECK(track.take({126.0, 0.0, 0.0}) == Step::gap);
    CHECK(track.before_deg() == 118.0);
    CHECK(turn(track, 126.5, 477.0) == Step::follows);
    const auto missing = missing_stretches(track.passes());
    REQUIRE(missing.size() == 1);
    CHECK(missing[0].from_deg == Approx(118.1));
    CHECK(missing[0].to_deg == Approx(126.0));
    turn(track, 477.5, 490.0);
    CHECK(missing_stretches(track.passes()).empty());
    CHECK(overlap_deg(track.passes()) ==
          Approx(122.0).margin(0.5));  // 0 to 130 twice, less the eight degrees
}

TEST_CASE("turning back beyond the backlash is told once, and forward rows count when it is taken up",
          "[rig][track]") {
    TurnTrack track(1.0, 1.0);
    turn(track, 0.0, 212.0);
    CHECK(track.take({211.5, 0.0, 0.0}) == Step::behind);
    CHECK(track.take({211.0, 0.0, 0.0}) == Step::behind);
    CHECK(track.take({210.5, 0.0, 0.0}) == Step::turned_back);
    CHECK(turn(track, 210.0, 205.0) == Step::behind);
    CHECK(track.take({205.5, 0.0, 0.0}) == Step::behind);
    CHECK(track.furthest_deg() == 212.0);
    CHECK(track.take({206.0, 0.0, 0.0}) == Step::follows);
    CHECK(track.points().back().deg == 206.0);
    CHECK(turn(track, 206.5, 220.0) == Step::follows);
    CHECK(covers(track.passes(), {0.0, 220.0}));
}

TEST_CASE("what is passed over anew with a hole in it is open again", "[rig][track]") {
    TurnTrack track(1.0, 1.0);
    turn(track, 0.0, 100.0);
    turn(track, 99.0, 90.0);
    turn(track, 90.5, 93.0);
    CHECK(track.take({97.0, 0.0, 0.0}) == Step::gap);
    CHECK_FALSE(covers(track.passes(), {93.2, 96.8}));
}

TEST_CASE("a tremble within a tenth of a degree is no turning back", "[rig][track]") {
    TurnTrack track(1.0, 1.0);
    turn(track, 0.0, 10.0);
    CHECK(track.take({9.95, 0.0, 0.0}) == Step::follows);
    CHECK(track.take({10.0, 0.0, 0.0}) == Step::follows);
}

TEST_CASE("drift is what the same angle reads more a turn later", "[rig][track]") {
    TurnTrack track(1.0, 1.0);
    for (double deg = 0.0; deg < 360.0; deg += 0.5) track.take({deg, 0.01 * deg, 1.0});
    for (double deg = 360.25; deg < 380.0; deg += 0.5) track.take({deg, 0.01 * (deg - 360.0) + 0.003, 0.998});
    CHECK(track.drift().points == 40);
    CHECK(track.drift().front_mm == Approx(0.003));
    CHECK(track.drift().rear_mm == Approx(-0.002));
}

TEST_CASE("angles are brought into the turn", "[rig][track]") {
    CHECK(in_turn_deg(-1.0) == Approx(359.0));
    CHECK(in_turn_deg(720.0) == 0.0);
    CHECK(in_turn_deg(-1e-14) == 0.0);
}
