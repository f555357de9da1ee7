// The periodic smoothing spline against figures that numpy and scipy gave by other routes: normal equations, QR of
// the stacked system, the FFT of the circulant system and an extended-precision Cholesky agree within 3e-14.
// Derived, numerically verified; the same by another library, live: tests/outside/gsl_test.cpp.
#include <cmath>
#include <cstdint>
#include <numbers>

#include <catch2/catch.hpp>

#include "analysis/curve/periodic_spline.hpp"

using namespace lobewright;

namespace {

constexpr double pi = std::numbers::pi;
constexpr double rad = pi / 180.0;

SplineSystem noisy_hump() {
    SplineSystem system(36, 1);
    std::uint32_t x = 12345;
    const auto next = [&x] {
        x = 1664525u * x + 1013904223u;
        return static_cast<double>(x) / 4294967296.0;
    };
    for (int i = 0; i < 180; ++i) {
        const double theta = 2.0 * pi * i / 180.0;
        const double u = next(), v = next(), w = next();
        const double y =
            3.0 * std::exp(2.5 * (std::cos(theta) - 1.0)) + 0.05 * std::cos(theta) + 0.02 * (u + v + w - 1.5);
        system.add(spline_site(theta, 36), 1.0, std::array{y});
    }
    return system;
}

}  // namespace

TEST_CASE("periodic smoothing spline gives the published fit", "[outside][spline]") {
    const auto system = noisy_hump();
    const SplineSolver solver(system, 1e-3);
    const auto f = solver.fit(system, 0);

    struct Row {
        double deg, value, first, second, sd;
    };
    const Row rows[] = {{0, 3.048698874881, -0.00053406003, -7.1318796365, 0.349197593},
                        {7.3, 2.990305109802, -0.91955082697, -7.2943620203, 0.341138144},
                        {15, 2.802900973770, -1.82330448346, -5.4476869070, 0.335513843},
                        {37.5, 1.833871413072, -2.76175999272, 0.5996807548, 0.341974737},
                        {90, 0.249519449532, -0.68202123985, 1.2181621514, 0.349197593},
                        {180, -0.031846583251, -0.00336628289, -0.1685461139, 0.349197593},
                        {271, 0.257535610189, 0.69141382178, 1.6389673158, 0.347690508},
                        {355, 3.021512802235, 0.62446950076, -7.1921468490, 0.335513843}};
    for (const auto& row : rows) {
        CAPTURE(row.deg);
        CHECK(f.value(row.deg * rad) == Approx(row.value).margin(1e-9));
        CHECK(f.first_derivative(row.deg * rad) == Approx(row.first).margin(1e-9));
        CHECK(f.second_derivative(row.deg * rad) == Approx(row.second).margin(1e-8));
        const auto site = spline_site(row.deg * rad, 36);
        std::vector<double> l(36, 0.0);
        for (std::size_t p = 0; p < 4; ++p) l[(site.first + p) % 36] = site.weight[p];
        CHECK(std::sqrt(solver.variance(system, l)) == Approx(row.sd).epsilon(1e-8));
    }
    const auto quality = spline_quality(system, solver, 0);
    const double free = 180.0 - quality.edf;
    CHECK(180.0 * quality.rss / (free * free) ==
          Approx(9.490814692e-5).epsilon(1e-9));  // cross-validation's criterion
    CHECK(std::sqrt(quality.rss / free) == Approx(0.009024325927).epsilon(1e-9));
    CHECK(quality.edf == Approx(25.5462150100).epsilon(1e-10));
    CHECK(quality.rss == Approx(0.012578478149).margin(1e-11));
    CHECK(roughness(f) == Approx(43.2334503869).epsilon(1e-10));
    const auto& c = f.coefficients();
    CHECK(c[0] == Approx(3.084907121099).margin(1e-9));
    CHECK(c[1] == Approx(2.976189171385).margin(1e-9));
    CHECK(c[2] == Approx(2.643441612233).margin(1e-9));
    CHECK(c[9] == Approx(0.243334892674).margin(1e-9));
    CHECK(c[18] == Approx(-0.030990881879).margin(1e-9));
    CHECK(c[35] == Approx(2.976375593502).margin(1e-9));
}

TEST_CASE("harmonic gain of the smoothing matches the circulant solution", "[outside][spline]") {
    // Derived, numerically verified: gain of harmonic m in the 36-knot fit, lambda = 1e-3, 180 samples.
    const double gains[][2] = {{1, 0.999965095}, {4, 0.991139754}, {8, 0.873978106}, {12, 0.562555892}};
    for (const auto& [m, gain] : gains) {
        SplineSystem system(36, 1);
        for (int i = 0; i < 180; ++i) {
            const double theta = 2.0 * pi * i / 180.0;
            system.add(spline_site(theta, 36), 1.0, std::array{std::cos(m * theta)});
        }
        const auto f = SplineSolver(system, 1e-3).fit(system, 0);
        double amplitude = 0.0;  // projection of the fit, sampled where the data were, on the harmonic
        for (int i = 0; i < 180; ++i) {
            const double theta = 2.0 * pi * i / 180.0;
            amplitude += f.value(theta) * std::cos(m * theta) / 90.0;
        }
        CAPTURE(m);
        CHECK(amplitude == Approx(gain).margin(1e-9));
    }
}

TEST_CASE("a harmonic is halved where the smoothing says", "[outside][spline]") {
    // Without a knot's limit harmonic m keeps 1/(1 + 2 pi lambda m^4/N) of itself, here for
    // lambda = 1e-3 and N = 180. Knots in plenty come to the same.
    const double gains[][2] = {{1, 0.999965095}, {4, 0.991143061}, {8, 0.874907959}, {12, 0.580105980}};
    for (const auto& [m, gain] : gains) {
        SplineSystem system(720, 1);
        for (int i = 0; i < 1440; ++i) {
            const double theta = 2.0 * pi * i / 1440.0;
            system.add(spline_site(theta, 720), 180.0 / 1440.0, std::array{std::cos(m * theta)});
        }
        CAPTURE(m);
        CHECK(SplineSolver(system, 1e-3).fit(system, 0).value(0.0) == Approx(gain).margin(1e-7));
    }
}

TEST_CASE("a spline system without data is refused", "[spline]") {
    SplineSystem empty(36, 1);
    CHECK_THROWS_AS(SplineSolver(empty, 1.0), std::domain_error);
    CHECK_THROWS_AS(SplineSystem(4, 1), std::domain_error);
}
