// Base-circle fits against outside figures. The estimators on a full turn: NIST/SEMATECH e-Handbook, roundness
// (seen). Variances on an arc: derived, numerically verified by discrete normal equations and their continuous
// limit, that of the nose by Monte Carlo too.
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <vector>

#include <catch2/catch.hpp>

#include "analysis/curve/sinusoid.hpp"
#include "analysis/units.hpp"

using namespace lobewright;

namespace {

struct Row {
    std::size_t count;
    double c0, a, b, nose, correlation;  // variances times N; nose = c0 - a, opposite the arc's middle
    double nose_sd;
};
// Steps of half a degree, both ends included; the arc's middle at 0.
constexpr std::array<Row, 4> arcs{{{481, 1.746586, 4.406970, 1.656517, 9.781330, -0.653800, 0.142602},
                                   {401, 3.366549, 7.481869, 1.818053, 19.264167, -0.838427, 0.219181},
                                   {361, 5.216861, 10.462705, 1.994475, 28.964111, -0.899063, 0.283254},
                                   {301, 11.512615, 19.390167, 2.461446, 59.457387, -0.955583, 0.444447}}};

GridArc about_zero(std::size_t count) {
    return {720 - (count - 1) / 2, count};
}

}  // namespace

TEST_CASE("variances of a base circle's fit on an arc", "[outside][circle]") {
    for (const auto& row : arcs) {
        const auto c = SinusoidFit(720, about_zero(row.count)).covariance();
        const auto n = static_cast<double>(row.count);
        CAPTURE(row.count);
        CHECK(n * c[0][0] == Approx(row.c0).epsilon(1e-6));
        CHECK(n * c[1][1] == Approx(row.a).epsilon(1e-6));
        CHECK(n * c[2][2] == Approx(row.b).epsilon(1e-6));
        const double nose = c[0][0] - 2.0 * c[0][1] + c[1][1];
        CHECK(n * nose == Approx(row.nose).epsilon(1e-6));
        CHECK(std::sqrt(nose) == Approx(row.nose_sd).margin(1e-6));
        CHECK(c[0][1] / std::sqrt(c[0][0] * c[1][1]) == Approx(row.correlation).margin(1e-6));
        CHECK(c[0][2] == Approx(0.0).margin(1e-12));
    }
}

TEST_CASE("variances of a base circle's fit over a whole turn", "[outside][circle]") {
    const auto c = SinusoidFit(720, {0, 720}).covariance();
    CHECK(720.0 * c[0][0] == Approx(1.0).epsilon(1e-12));
    CHECK(720.0 * c[1][1] == Approx(2.0).epsilon(1e-12));
    CHECK(720.0 * c[2][2] == Approx(2.0).epsilon(1e-12));
    CHECK(c[0][1] == Approx(0.0).margin(1e-15));
    CHECK(std::sqrt(c[0][0] + c[1][1]) == Approx(0.064550).margin(1e-6));
}

TEST_CASE("twelve readings thirty degrees apart", "[outside][circle]") {
    // An own table; derived, numerically verified.
    const std::vector<double> readings{2.0, 3.1, 4.9, 5.2, 4.4, 3.0, 1.1, 0.4, -0.3, -0.9, 0.2, 0.8};
    const SinusoidFit fit(12, {0, 12});
    const auto circle = fit.fit(readings);
    CHECK(circle.c0 == Approx(1.991666667).margin(1e-9));
    CHECK(circle.a == Approx(0.305502117).margin(1e-9));
    CHECK(circle.b == Approx(2.781773133).margin(1e-9));
    CHECK(std::hypot(circle.a, circle.b) == Approx(2.798498402).margin(1e-9));
    CHECK(deg_from_rad(std::atan2(circle.b, circle.a)) == Approx(83.7327331).margin(1e-7));
    auto rest = readings;
    fit.remove(rest);
    const auto [low, high] = std::minmax_element(rest.begin(), rest.end());
    CHECK(*high - *low == Approx(1.050833025).margin(1e-9));
    double squares = 0.0;
    for (const double r : rest) squares += r * r;
    CHECK(std::sqrt(squares / 9.0) == Approx(0.391522220).margin(1e-9));
}

TEST_CASE("a flat tip reads an eccentric circle without the limacon's error", "[outside][circle]") {
    // Second order, derived and numerically verified: a flat tip reads h = R + e cos t exactly; a point tip's
    // fitted level on a full turn would be low by 4.167535e-3 for R = 15, e = 0.5, and its nose off by 1.7e-2 on an
    // arc of 200 degrees.
    std::vector<double> flat(720), point(720), sideways(720);
    for (std::size_t g = 0; g < flat.size(); ++g) {
        const double t = 2.0 * std::numbers::pi * static_cast<double>(g) / 720.0;
        flat[g] = 15.0 + 0.5 * std::cos(t);
        point[g] = 0.5 * std::cos(t) + std::sqrt(15.0 * 15.0 - 0.25 * std::sin(t) * std::sin(t));
        sideways[g] = 0.5 * std::sin(t) + std::sqrt(15.0 * 15.0 - 0.25 * std::cos(t) * std::cos(t));
    }
    const auto whole = SinusoidFit(720, {0, 720}).fit(point);
    CHECK(whole.c0 - 15.0 == Approx(-4.167535e-3).margin(1e-9));
    auto rest = point;
    SinusoidFit(720, {0, 720}).remove(rest);
    const auto [low, high] = std::minmax_element(rest.begin(), rest.end());
    CHECK(*high - *low == Approx(8.3333e-3).epsilon(1e-3));  // twice a turn, e^2/2R to leading order
    // Fit less true opposite the arc's middle, for the eccentricity along it.
    struct Row {
        std::size_t count;
        double nose_error;
    };
    constexpr std::array<Row, 4> rows{
        {{481, -1.260746e-2}, {401, -1.703925e-2}, {361, -1.939138e-2}, {301, -2.292095e-2}}};
    for (const auto& row : rows) {
        CAPTURE(row.count);
        const SinusoidFit arc(720, about_zero(row.count));
        const auto exact = arc.fit(flat), off = arc.fit(point), across = arc.fit(sideways);
        CHECK(exact.c0 - exact.a == Approx(14.5).margin(1e-10));
        CHECK(off.c0 - off.a - 14.5 == Approx(row.nose_error).epsilon(1e-6));
        // Across the arc the error has the other sign and equal size within 1e-4.
        CHECK(across.c0 - across.a - sideways[360] == Approx(-row.nose_error).epsilon(1e-4));
    }
}
