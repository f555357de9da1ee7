// What must hold in any V-block; the published table stands in tests/outside/v_block_table_test.cpp.
#include "analysis/support/v_block.hpp"

#include <catch2/catch.hpp>

using namespace lobewright;

TEST_CASE("what a V-block carries can't run out", "[v-block]") {
    for (double v = 20.0; v < 179.0; v += 1.0) {
        CAPTURE(v);
        CHECK(v_block_reading(1, v) == Approx(0.0).margin(1e-9));
    }
}

TEST_CASE("the reading is the shaft's own shape and what its axis rises by", "[v-block]") {
    for (const double v : {60.0, 75.0, 90.0, 108.0, 120.0, 150.0}) {
        for (int n = 1; n <= 50; ++n) CHECK(v_block_reading(n, v) == Approx(1.0 + v_block_rise(n, v)));
    }
}

TEST_CASE("on a flat plate the indicator reads diameters", "[v-block]") {
    // A V of 180 degrees: even undulations show twice, odd ones (lobes of constant breadth) not at all.
    for (int n = 2; n <= 50; ++n) {
        CAPTURE(n);
        CHECK(v_block_reading(n, 180.0) == Approx(n % 2 == 0 ? 2.0 : 0.0).margin(1e-12));
    }
}

TEST_CASE("a V of 90 degrees shows every eighth undulation alike, one of 60 every sixth", "[v-block]") {
    for (int n = 1; n <= 30; ++n) {
        CAPTURE(n);
        CHECK(v_block_reading(n + 8, 90.0) == Approx(v_block_reading(n, 90.0)).margin(1e-9));
        CHECK(v_block_reading(n + 6, 60.0) == Approx(v_block_reading(n, 60.0)).margin(1e-9));
    }
}
