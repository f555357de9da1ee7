// How much of the noise reaches the figures, against the least that any method can let through (the limits and where they
// come from stand in tests/coverage/least_noise_study.cpp). White noise of 1 um on each reading of each indicator.
#include <cmath>

#include <catch2/catch.hpp>

#include "tests/coverage/least_noise_study.hpp"

using namespace lobewright;

namespace {

constexpr int runs = 200;
const double monte_carlo =
    4.0 / std::sqrt(2.0 * runs);  // what a standard deviation of `runs` runs scatters by

void check(const LeastNoise& one) {
    CAPTURE(one.figure, one.ratio(), one.spread.rms(), one.spread.stated());
    CHECK(one.ratio() < 1.3);
    CHECK(one.ratio() > 1.0 - monte_carlo);
    // Stated for what it is, or for more: a tenth of the noise is always counted as the rig's slow wander.
    CHECK(one.spread.stated() > (1.0 - monte_carlo) * one.spread.rms());
}

}  // namespace

TEST_CASE("every figure comes near the least noise possible", "[outside][limits]") {
    for (const LeastNoise& one : least_noise_study(0.5, runs)) check(one);
}

TEST_CASE("with five times the rows the noise falls by their root", "[outside][limits]") {
    for (const LeastNoise& one : least_noise_study(0.1, runs)) {
        // Less noise shows more of a shape: about the nose less of it is averaged then.
        if (one.figure.rfind("lift", 0) == 0 || one.figure.rfind("wear", 0) == 0) continue;
        check(one);
    }
}
