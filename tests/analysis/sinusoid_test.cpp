// The circle's sinusoid on an arc: the fit and its adjoint.
#include "analysis/curve/sinusoid.hpp"

#include <cmath>
#include <numbers>
#include <stdexcept>
#include <vector>

#include <catch2/catch.hpp>

#include "rig/model/random.hpp"

using namespace lobewright;

namespace {

double angle(std::size_t g, std::size_t n) {
    return 2.0 * std::numbers::pi * static_cast<double>(g) / static_cast<double>(n);
}

std::vector<double> random_values(std::size_t n, std::uint64_t seed) {
    Random random(seed);
    std::vector<double> values(n);
    for (double& v : values) v = random.normal();
    return values;
}

double product(const std::vector<double>& a, const std::vector<double>& b) {
    double sum = 0.0;
    for (std::size_t i = 0; i < a.size(); ++i) sum += a[i] * b[i];
    return sum;
}

}  // namespace

TEST_CASE("an eccentric circle is found on any arc, whatever stands outside it", "[sinusoid]") {
    constexpr std::size_t n = 720;
    for (const GridArc arc : {GridArc{0, 720}, GridArc{100, 200}, GridArc{600, 301}, GridArc{719, 40}}) {
        std::vector<double> values(n, 1e6);
        for (std::size_t i = 0; i < arc.count; ++i) {
            const std::size_t g = (arc.first + i) % n;
            values[g] = 14.0 + 0.2 * std::cos(angle(g, n)) - 0.05 * std::sin(angle(g, n));
        }
        const SinusoidFit fit(n, arc);
        const auto circle = fit.fit(values);
        CAPTURE(arc.first, arc.count);
        CHECK(circle.c0 == Approx(14.0).margin(1e-8));
        CHECK(circle.a == Approx(0.2).margin(1e-8));
        CHECK(circle.b == Approx(-0.05).margin(1e-8));
        CHECK(circle.at(std::numbers::pi) == Approx(13.8).margin(1e-8));
        fit.remove(values);
        for (std::size_t i = 0; i < arc.count; ++i) {
            CHECK(values[(arc.first + i) % n] == Approx(0.0).margin(1e-8));
        }
    }
}

TEST_CASE("an arc holds its points across the turn's seam", "[sinusoid]") {
    const GridArc arc{700, 40};
    CHECK(arc.holds(700, 720));
    CHECK(arc.holds(719, 720));
    CHECK(arc.holds(0, 720));
    CHECK(arc.holds(19, 720));
    CHECK_FALSE(arc.holds(20, 720));
    CHECK_FALSE(arc.holds(699, 720));
}

TEST_CASE("weights on values less their fit, brought back to the values", "[sinusoid]") {
    // <w, remove v> = <adjoint w, v> for any w and v.
    constexpr std::size_t n = 72;
    const SinusoidFit fit(n, {50, 40});
    for (std::uint64_t seed = 1; seed <= 20; ++seed) {
        auto v = random_values(n, 2 * seed), w = random_values(n, 2 * seed + 1);
        const auto v_before = v, w_before = w;
        fit.remove(v);
        fit.remove_adjoint(w);
        CHECK(product(w_before, v) == Approx(product(w, v_before)).margin(1e-9));
    }
}

TEST_CASE("weights of the circle's own parameters", "[sinusoid]") {
    constexpr std::size_t n = 72;
    const SinusoidFit fit(n, {50, 40});
    const auto v = random_values(n, 3);
    const auto circle = fit.fit(v);
    std::vector<double> w(n, 0.0);
    fit.add_parameter_weights({2.0, -3.0, 0.5}, w);
    CHECK(product(w, v) == Approx(2.0 * circle.c0 - 3.0 * circle.a + 0.5 * circle.b).margin(1e-9));
    for (std::size_t g = 0; g < n; ++g) {
        if (!fit.arc().holds(g, n)) CHECK(w[g] == 0.0);
    }
}

TEST_CASE("an arc too short or too long for a circle is refused", "[sinusoid]") {
    CHECK_THROWS_AS(SinusoidFit(720, GridArc{0, 3}), std::domain_error);
    CHECK_THROWS_AS(SinusoidFit(720, GridArc{0, 721}), std::domain_error);
    CHECK_NOTHROW(SinusoidFit(720, GridArc{0, 4}));
}
