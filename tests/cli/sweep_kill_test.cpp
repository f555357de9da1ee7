// Killed at random moments, the next start has everything but what was on its way. Some hundreds of rounds: lobewright_kills.
#include <catch2/catch.hpp>

#include "tests/cli/kill_round.hpp"

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
