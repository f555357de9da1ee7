// Killed at random moments, the next start has everything but what was on its way. Some hundreds of rounds: lobewright_kills.
#include <catch2/catch.hpp>

#include "tests/cli/kill_round.hpp"
#include "tests/cli/virtual_bench.hpp"

using namespace lobewright::tests;

TEST_CASE("killed at random moments, half a second at most is lost", "[cli][sweep]") {
    std::mt19937 random(20260203);
    constexpr std::int64_t half_a_second = 400;  // counts, at the rig's 20 degrees a second
    for (int i = 0; i < 4; ++i) {
        const KillRound round = kill_round(random);
        CHECK(round.saved <= round.sent);
        CHECK(round.sent - round.saved <= half_a_second);
    }
}

TEST_CASE("what a rig went on sending to a program that was killed is no trouble of the next",
          "[cli][sweep]") {
    VirtualBench rig({"--pty", "PORT"});
    {
        PtyProgram killed(rig.sweep_words({"--port", rig.port()}), "dumb");
        REQUIRE(killed.shows("Enter when set"));
        REQUIRE(comes_true([&] { return rig.truth("latch").size() > 50; }));
        killed.signal(SIGKILL);
        CHECK(killed.ends() == -SIGKILL);
    }
    // Until the port has taken all that it can hold and the controller drops lines.
    rig.order("halt\nturn 360 60\n");
    rig.place_deg(1);
    PtyProgram again({"sweep", rig.run(), "--port", rig.port()}, "dumb");
    REQUIRE(again.shows("Enter when set"));
    again.press("\n");
    rig.order("turn 20 20\n");
    rig.place_deg(1);
    again.press("q");
    CHECK(again.ends() == 2);
    CHECK_FALSE(has(again.shown(), "lost"));
    CHECK_FALSE(has(again.shown(), "fast enough"));
}
