// Which counts can be believed: the index mark makes them absolute, marks that don't agree void what lies between.
#include "rig/acquisition/count_frame.hpp"

#include <catch2/catch.hpp>

using namespace lobewright;

namespace {

RigReading reading(std::int64_t count) {
    return {.t_us = 0, .count = count, .front_mm = 0.0, .rear_mm = 0.0};
}

}  // namespace

TEST_CASE("counts are void until the first mark and placed backwards by it", "[rig][frame]") {
    CountFrame frame(1000, 1);
    CHECK(frame.take(RigBack{}) == FrameChange::begun);
    frame.take(reading(40));
    CHECK_FALSE(frame.absolute());
    CHECK_FALSE(frame.to_next_mark());
    frame.take(reading(98));
    CHECK(frame.take(RigIndex{0, 100}) == FrameChange::found);
    CHECK(frame.absolute());
    CHECK(frame.leg(0).zero == 100);
    CHECK_FALSE(frame.leg(0).marked_before);
    CHECK(frame.leg(1).marked_before);
    frame.take(reading(350));
    CHECK(frame.to_next_mark() == 750);
}

TEST_CASE("a mark a whole number of turns on agrees, a count more or less is rounding", "[rig][frame]") {
    CountFrame frame(1000, 1);
    frame.take(RigIndex{0, 100});
    const std::int64_t off = GENERATE(-1, 0, 1);
    frame.take(reading(1090));
    CHECK(frame.take(RigIndex{0, 1100 + off}) == FrameChange::agrees);
    CHECK(frame.leg(1).marked_after);
}

TEST_CASE("a mark that lies off voids the leg before it and counts as zero from then on", "[rig][frame]") {
    CountFrame frame(1000, 1);
    frame.take(RigIndex{0, 100});
    const std::int64_t off = GENERATE(-3, 2, 7, 499);
    frame.take(reading(1090));
    CHECK(frame.take(RigIndex{0, 1100 + off}) == FrameChange::slipped);
    CHECK(frame.off_by() == off);
    CHECK(frame.leg(1).slipped);
    CHECK(frame.take(RigIndex{0, 2100 + off}) == FrameChange::agrees);
}

TEST_CASE("passed the other way the mark may differ by the pulse's width, and isn't taken for the first",
          "[rig][frame]") {
    CountFrame frame(1000, 1);
    frame.take(reading(110));
    frame.take(reading(105));
    CHECK(frame.take(RigIndex{0, 104}) == FrameChange::none);
    CHECK_FALSE(frame.absolute());
    frame.take(reading(95));
    frame.take(reading(99));
    CHECK(frame.take(RigIndex{0, 100}) == FrameChange::found);
    frame.take(reading(120));
    frame.take(reading(110));
    CHECK(frame.take(RigIndex{0, 104}) == FrameChange::agrees);
    CHECK(frame.leg(2).zero == 100);
}

TEST_CASE("counts that fall in the running direction are followed downward", "[rig][frame]") {
    CountFrame frame(1000, -1);
    frame.take(reading(2));
    CHECK(frame.take(RigIndex{0, 0}) == FrameChange::found);
    frame.take(reading(-250));
    CHECK(frame.to_next_mark() == 750);
    CHECK(frame.take(RigIndex{0, -1000}) == FrameChange::agrees);
}

TEST_CASE("a controller that counts anew at its first mark leaves what it counted before without a place",
          "[rig][frame]") {
    CountFrame frame(1000, 1);
    frame.take(RigBack{});
    frame.take(reading(700));
    CHECK(frame.take(RigIndex{0, 0}) == FrameChange::found);
    CHECK_FALSE(frame.leg(0).zero);
    CHECK(frame.leg(1).zero == 0);
    frame.take(reading(2));
    CHECK(frame.to_next_mark() == 998);
    CHECK(frame.take(RigIndex{0, 1000}) == FrameChange::agrees);
}

TEST_CASE("after a return counts are void again", "[rig][frame]") {
    CountFrame frame(1000, 1);
    frame.take(RigIndex{0, 100});
    frame.take(reading(400));
    CHECK(frame.take(RigBack{}) == FrameChange::begun);
    CHECK_FALSE(frame.absolute());
    frame.take(reading(36));
    CHECK(frame.take(RigIndex{0, 37}) == FrameChange::found);
    CHECK(frame.leg(frame.current()).zero == 37);
    CHECK(frame.leg(frame.current()).epoch == 1);
}

TEST_CASE("a turn without a mark and an encoder's complaint are remembered until the next mark",
          "[rig][frame]") {
    CountFrame frame(1000, 1);
    frame.take(RigIndex{0, 0});
    frame.take(RigTrouble{0, TroubleKind::encoder, 0, ""});
    CHECK(frame.in_doubt());
    frame.take(reading(1005));
    CHECK_FALSE(frame.mark_missed());
    frame.take(reading(1006));
    CHECK(frame.mark_missed());
    CHECK(frame.take(RigIndex{0, 2000}) == FrameChange::agrees);
    CHECK_FALSE(frame.mark_missed());
    CHECK_FALSE(frame.in_doubt());
}
