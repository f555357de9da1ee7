// What must hold in any V-block; the published table stands in tests/outside/v_block_table_test.cpp.
#include "analysis/support/v_block.hpp"

#include <cmath>
#include <complex>

#include <catch2/catch.hpp>

using namespace lobewright;

TEST_CASE("what a V-block carries can't run out", "[v-block]") {
    for (double v = 20.0; v < 179.0; v += 1.0) {
        CAPTURE(v);
        for (const double beta : {0.0, 30.0, 90.0, 180.0, 250.0})
            CHECK(std::abs(v_block_reading(1, v, beta)) < 1e-9);
    }
}

TEST_CASE("the reading is the shaft's own shape and what its axis rises by", "[v-block]") {
    for (const double v : {60.0, 75.0, 90.0, 108.0, 120.0, 150.0}) {
        for (int n = 1; n <= 50; ++n) {
            CHECK(std::abs(v_block_reading(n, v, 20.0) - 1.0 - v_block_rise(n, v, 20.0)) < 1e-12);
        }
    }
}

TEST_CASE("on a flat plate the indicator reads diameters", "[v-block]") {
    // A V of 180 degrees: even undulations show twice, odd ones (lobes of constant breadth) not at all.
    for (int n = 2; n <= 50; ++n) {
        CAPTURE(n);
        CHECK(std::abs(v_block_reading(n, 180.0) - (n % 2 == 0 ? 2.0 : 0.0)) < 1e-12);
    }
}

TEST_CASE("a V of 90 degrees shows every eighth undulation alike, one of 60 every sixth", "[v-block]") {
    for (int n = 1; n <= 30; ++n) {
        CAPTURE(n);
        CHECK(std::abs(v_block_reading(n + 8, 90.0) - v_block_reading(n, 90.0)) < 1e-9);
        CHECK(std::abs(v_block_reading(n + 6, 60.0) - v_block_reading(n, 60.0)) < 1e-9);
    }
}

namespace {

/// A shaft of unit radius with one harmonic, support function 1 + a cos(n t - p) over its own angle t, turned by theta
/// and laid into the V: its centre moves until both faces touch. The reading is how far it reaches toward the indicator.
double reading_of_laid_shaft(int n, double a, double p, double v_deg, double beta, double theta) {
    const double pi = std::acos(-1.0), half = 0.5 * v_deg * pi / 180.0;
    // The faces of a V that opens upward have outward normals (from the shaft) to either side below; its bisector is at
    // angle 0, so they stand at pi -/+ (pi/2 - half).
    const double left = pi - (0.5 * pi - half), right = pi + (0.5 * pi - half);
    const auto support = [&](double at) { return a * std::cos(n * (at - theta) - p); };
    // centre . u = -support(u) for both normals u: the touching stays where the round shaft's was.
    const double det = std::cos(left) * std::sin(right) - std::sin(left) * std::cos(right);
    const double x = (-support(left) * std::sin(right) + support(right) * std::sin(left)) / det;
    const double y = (-std::cos(left) * support(right) + std::cos(right) * support(left)) / det;
    return x * std::cos(beta) + y * std::sin(beta) + support(beta);
}

}  // namespace

TEST_CASE("a lobed shaft laid into a V reads F_n of its harmonic wherever the indicator stands",
          "[v-block]") {
    const double rad = std::acos(-1.0) / 180.0;
    for (const double v : {60.0, 90.0, 108.0, 120.0}) {
        for (const double beta_deg : {0.0, 25.0, -40.0, 90.0, 180.0}) {
            for (const int n : {2, 3, 5, 7, 8}) {
                for (const double theta_deg : {0.0, 33.0, 200.0}) {
                    CAPTURE(v, beta_deg, n, theta_deg);
                    const double p = 0.7, beta = beta_deg * rad, theta = theta_deg * rad;
                    const auto f = v_block_reading(n, v, beta_deg);
                    const double read = (f * std::polar(0.004, n * (beta - theta) - p)).real();
                    CHECK(read == Approx(reading_of_laid_shaft(n, 0.004, p, v, beta, theta)).margin(1e-14));
                }
            }
        }
    }
}
