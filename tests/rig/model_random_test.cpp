// The model's random numbers: the generator against an independent implementation, the normal law against
// tables.
#include <array>
#include <cmath>
#include <cstdint>
#include <vector>

#include <catch2/catch.hpp>

#include "rig/model/random.hpp"

using namespace lobewright;

TEST_CASE("random bits are those of xoshiro256++ seeded by splitmix64") {
    // From a separate implementation in Python, itself checked against the outputs that go with the published
    // generators: splitmix64 from 1234567 starts 6457827717110365317, xoshiro256++ from (1, 2, 3, 4) starts
    // 41943041.
    Random first(42);
    CHECK(first.bits() == 0xb6473066c53b872fU);
    CHECK(first.bits() == 0xf3159a927e549cccU);
    CHECK(first.bits() == 0xc479679f3519929dU);
    Random seventh_stream(42, 7);
    CHECK(seventh_stream.bits() == 0x9923bb482e48550bU);
    CHECK(seventh_stream.bits() == 0x5cd0452b3b0e632aU);
}

TEST_CASE("normal quantiles agree with the tables") {
    struct Row {
        double p;
        double z;
    };
    // z(0.95), z(0.975), z(0.99), z(0.995): normal tables (digits by scipy.stats); Phi(1.2345) =
    // 0.891491676637 likewise; P(|z| < 3) = 0.997300204.
    const std::array<Row, 6> rows = {{{0.95, 1.644853627},
                                      {0.975, 1.959963985},
                                      {0.99, 2.326347874},
                                      {0.995, 2.575829304},
                                      {0.891491676637, 1.2345},
                                      {0.998650102, 3.0}}};
    for (const Row& row : rows) {
        CHECK(Random::normal_quantile(row.p) == Approx(row.z).epsilon(1e-6));
        CHECK(Random::normal_quantile(1.0 - row.p) == Approx(-row.z).epsilon(1e-6));
    }
    CHECK(Random::normal_quantile(0.5) == 0.0);
    CHECK(Random::normal_quantile(std::ldexp(1.0, -54)) < -8.0);  // the smallest that uniform() gives: finite
}

TEST_CASE("moments of many draws are those of their laws") {
    constexpr int n = 200000;
    Random random(7);
    double sum = 0.0;
    double square = 0.0;
    double fourth = 0.0;
    double even = 0.0;
    std::array<int, 5> drawn{};
    for (int i = 0; i < n; ++i) {
        const double z = random.normal();
        sum += z;
        square += z * z;
        fourth += z * z * z * z;
        even += random.uniform(-2.0, 4.0);
        ++drawn[random.below(5)];
    }
    // Five standard deviations of each estimate: var(z^2) = 2, var(z^4) = 96, var(uniform over 6) = 3.
    const double root_n = std::sqrt(static_cast<double>(n));
    CHECK(std::fabs(sum / n) < 5.0 / root_n);
    CHECK(std::fabs(square / n - 1.0) < 5.0 * std::sqrt(2.0) / root_n);
    CHECK(std::fabs(fourth / n - 3.0) < 5.0 * std::sqrt(96.0) / root_n);
    CHECK(std::fabs(even / n - 1.0) < 5.0 * std::sqrt(3.0) / root_n);
    for (const int count : drawn) CHECK(std::fabs(count / (0.2 * n) - 1.0) < 5.0 * 2.0 / root_n);
}
