// The Gaussian profile filter against outside figures. Standard: ISO 16610-21:2011, open profiles in clauses 4.1 and
// 4.2, closed ones in 5.2 and 5.3 (contents page seen); the constant 0.4697 and exp(-pi (alpha lc / l)^2) seen in a
// public instrument manual and at NIST (beta = ln2/pi). All digits derived, numerically verified: weights and
// transmission by numpy and its Fourier transform, areas and steps by the error function.
#include "analysis/curve/gaussian_filter.hpp"

#include <array>
#include <cmath>
#include <numbers>
#include <vector>

#include <catch2/catch.hpp>

using namespace lobewright;

namespace {

constexpr std::size_t points = 720;
constexpr double cutoff = 15.0;

double angle(std::size_t g) {
    return 2.0 * std::numbers::pi * static_cast<double>(g) / static_cast<double>(points);
}

/// 10 cos 2t + 3 cos(15t + 0.5) + cos 60t.
std::vector<double> three_waves() {
    std::vector<double> out(points);
    for (std::size_t g = 0; g < points; ++g) {
        const double t = angle(g);
        out[g] = 10.0 * std::cos(2.0 * t) + 3.0 * std::cos(15.0 * t + 0.5) + std::cos(60.0 * t);
    }
    return out;
}

/// So fine a grid that sums over it stand for integrals: the cut-off's wavelength in steps.
constexpr std::size_t wave = 24000;

}  // namespace

TEST_CASE("what a Gaussian filter lets pass", "[outside][gaussian]") {
    struct Row {
        double q, long_wave;
    };
    constexpr std::array<Row, 10> rows{{{0.1, 0.993092495437},
                                        {0.2, 0.972654947412},
                                        {1.0 / 3.0, 0.925874712287},
                                        {0.5, 0.840896415254},
                                        {2.0 / 3.0, 0.734867246138},
                                        {0.8, 0.641712948781},
                                        {1.0, 0.5},
                                        {1.5, 0.210224103813},
                                        {2.0, 0.0625},
                                        {3.0, 0.001953125}}};
    const auto weight = gaussian_weights(points, cutoff);
    for (const auto& row : rows) {
        CAPTURE(row.q);
        CHECK(gaussian_transmission(cutoff * row.q, cutoff) == Approx(row.long_wave).margin(1e-12));
        const double upr = cutoff * row.q;
        if (std::fabs(upr - std::round(upr)) > 1e-9) continue;
        double passed = 0.0;  // of a wave of so many undulations a turn, by the weights themselves
        for (std::size_t k = 0; k < points; ++k) passed += weight[k] * std::cos(std::round(upr) * angle(k));
        CHECK(passed == Approx(row.long_wave).margin(1e-12));
    }
}

TEST_CASE("weights of the closed Gaussian filter", "[outside][gaussian]") {
    struct Row {
        std::size_t k;
        double weight;
    };
    constexpr std::array<Row, 7> rows{{{0, 4.435279247630e-2},
                                       {1, 4.407953535495e-2},
                                       {2, 4.326982377258e-2},
                                       {5, 3.800335651006e-2},
                                       {12, 1.821506207715e-2},
                                       {24, 1.261710500026e-3},
                                       {48, 2.904530650833e-8}}};
    const auto weight = gaussian_weights(points, cutoff);
    for (const auto& row : rows) {
        CAPTURE(row.k);
        CHECK(weight[row.k] == Approx(row.weight).margin(1e-13));
        if (row.k > 0) CHECK(weight[points - row.k] == Approx(row.weight).margin(1e-13));
    }
}

TEST_CASE("three waves through the closed Gaussian filter", "[outside][gaussian]") {
    struct Row {
        std::size_t g;
        double long_wave;
    };
    constexpr std::array<Row, 4> rows{
        {{0, 11.1939190616}, {60, 4.2196419309}, {100, -0.9347786720}, {333, 10.2923168037}}};
    const auto profile = three_waves();
    const auto parts = gaussian_filter(profile, cutoff);
    for (const auto& row : rows) {
        CAPTURE(row.g);
        CHECK(parts.long_wave[row.g] == Approx(row.long_wave).margin(1e-9));
        CHECK(parts.short_wave[row.g] == Approx(profile[row.g] - row.long_wave).margin(1e-9));
    }
}

TEST_CASE("two Gaussian filters in series are one", "[outside][gaussian]") {
    // 15 and 50 undulations a turn act as 1/sqrt(1/15^2 + 1/50^2) = 14.367394278.
    for (const double upr : {1.0, 14.0, 40.0}) {
        CHECK(gaussian_transmission(upr, 15.0) * gaussian_transmission(upr, 50.0) ==
              Approx(gaussian_transmission(upr, 14.367394278)).epsilon(1e-9));
    }
    const auto profile = three_waves();
    const auto twice = gaussian_filter(gaussian_filter(profile, 15.0).long_wave, 50.0).long_wave;
    const auto once = gaussian_filter(profile, 14.367394278).long_wave;
    for (std::size_t g = 0; g < points; ++g) CHECK(twice[g] == Approx(once[g]).margin(1e-8));
}

TEST_CASE("the Gaussian weight's width and what lies in its tails", "[outside][gaussian]") {
    const auto weight = gaussian_weights(15 * wave, cutoff);
    double squares = 0.0;
    for (std::size_t k = 1; k < weight.size() / 2; ++k) {
        const double x = static_cast<double>(k) / wave;
        squares += 2.0 * weight[k] * x * x;
    }
    CHECK(std::sqrt(squares) == Approx(0.187390625129).epsilon(1e-11));  // in cut-off wavelengths
    struct Row {
        double cut, lost;
    };
    // Area lost when the weight is cut at so many wavelengths either side.
    constexpr std::array<Row, 5> rows{
        {{0.4, 3.279545e-2}, {0.5, 7.625360e-3}, {0.6, 1.365397e-3}, {0.8, 1.962131e-5}, {1.0, 9.478595e-8}}};
    for (const auto& row : rows) {
        const auto cut = static_cast<std::size_t>(std::lround(row.cut * wave));
        double tail = 0.5 * weight[cut];
        for (std::size_t k = cut + 1; k < weight.size() / 2; ++k) tail += weight[k];
        CAPTURE(row.cut);
        CHECK(2.0 * tail == Approx(row.lost).epsilon(1e-6));
    }
}

TEST_CASE("a unit step through the Gaussian filter", "[outside][gaussian]") {
    // 0.5, 0.908916352 and 0.996187320 at the step, a quarter and half of the cut-off's wavelength beyond it. The turn
    // has a second step, ten wavelengths away. Points on the steps themselves have half the height.
    const auto weight = gaussian_weights(15 * wave, cutoff);
    const auto response = [&](double place) {
        const auto beyond = static_cast<std::size_t>(std::lround(place * wave));
        double sum = 0.5;  // one half of the weight lies ahead, where the step is up
        if (beyond > 0) sum += 0.5 * (weight[0] + weight[beyond]);
        for (std::size_t k = 1; k < beyond; ++k) sum += weight[k];
        return sum;
    };
    CHECK(response(0.25) == Approx(0.908916352).margin(1e-9));
    CHECK(response(0.5) == Approx(0.996187320).margin(1e-9));
    std::vector<double> step(points, 0.0);
    for (std::size_t g = 1; g < points / 2; ++g) step[g] = 1.0;
    step[0] = step[points / 2] = 0.5;
    CHECK(gaussian_filter(step, cutoff).long_wave[0] == Approx(0.5).margin(1e-9));
}
