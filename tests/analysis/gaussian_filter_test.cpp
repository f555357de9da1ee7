// What must hold of a Gaussian filter on any grid; published numbers stand in tests/outside/gaussian_filter_test.cpp.
#include "analysis/curve/gaussian_filter.hpp"

#include <cmath>
#include <limits>
#include <numbers>
#include <numeric>
#include <stdexcept>
#include <vector>

#include <catch2/catch.hpp>

#include "rig/model/random.hpp"

using namespace lobewright;

namespace {

std::vector<double> random_profile(std::size_t n) {
    Random random(n);
    std::vector<double> out(n);
    for (double& value : out) value = 5.0 + random.normal();
    return out;
}

}  // namespace

TEST_CASE("waves pass a Gaussian filter as stated on grids of any count", "[gaussian]") {
    for (const std::size_t n : {7U, 8U, 101U, 360U, 719U}) {
        for (const double cutoff : {1.0, 1.5, 7.3, 15.0, 50.0}) {
            if (static_cast<double>(n) < 7.0 * cutoff) continue;
            for (const std::size_t f : {1U, 2U, 3U, 20U}) {
                if (2 * f >= n) continue;
                std::vector<double> wave(n);
                for (std::size_t g = 0; g < n; ++g) {
                    wave[g] = std::cos(
                        2.0 * std::numbers::pi * static_cast<double>(f * g) / static_cast<double>(n) - 0.4);
                }
                const auto parts = gaussian_filter(wave, cutoff);
                const double gain = gaussian_transmission(static_cast<double>(f), cutoff);
                double off = 0.0;
                // Close to half as many undulations as points the samples' own limit shows: 2^-((n - f)/cut-off)^2.
                const double folded = gaussian_transmission(static_cast<double>(n - f), cutoff);
                for (std::size_t g = 0; g < n; ++g) {
                    off = std::fmax(off, std::fabs(parts.long_wave[g] - gain * wave[g]));
                    off = std::fmax(off, std::fabs(parts.short_wave[g] - (1.0 - gain) * wave[g]));
                }
                CAPTURE(n, cutoff, f);
                CHECK(off < 1e-13 + 1.01 * folded);
            }
        }
    }
}

TEST_CASE("a Gaussian filter keeps the mean and adds up to the profile", "[gaussian]") {
    for (const std::size_t n : {64U, 361U, 720U}) {
        const auto profile = random_profile(n);
        const auto weight = gaussian_weights(n, 9.0);
        CHECK(std::accumulate(weight.begin(), weight.end(), 0.0) == Approx(1.0).epsilon(1e-14));
        const auto parts = gaussian_filter(profile, 9.0);
        double mean = 0.0, short_mean = 0.0;
        for (std::size_t g = 0; g < n; ++g) {
            mean += parts.long_wave[g] - profile[g];
            short_mean += parts.short_wave[g];
            CHECK(parts.long_wave[g] + parts.short_wave[g] == Approx(profile[g]).epsilon(1e-14));
        }
        CHECK(mean == Approx(0.0).margin(1e-11));
        CHECK(short_mean == Approx(0.0).margin(1e-11));
    }
}

TEST_CASE("a Gaussian filter turns with the profile, across the seam", "[gaussian]") {
    const auto profile = random_profile(361);
    std::vector<double> turned(profile.size());
    for (std::size_t g = 0; g < profile.size(); ++g) turned[(g + 200) % profile.size()] = profile[g];
    const auto one = gaussian_filter(profile, 15.0), other = gaussian_filter(turned, 15.0);
    for (std::size_t g = 0; g < profile.size(); ++g) {
        CHECK(other.long_wave[(g + 200) % profile.size()] == Approx(one.long_wave[g]).epsilon(1e-13));
    }
}

TEST_CASE("what a Gaussian filter can't do is refused", "[gaussian]") {
    const std::vector<double> profile(105, 1.0);
    CHECK_NOTHROW(gaussian_filter(profile, 15.0));
    CHECK_THROWS_AS(gaussian_filter(profile, 15.1), std::domain_error);
    CHECK_THROWS_AS(gaussian_filter(profile, 0.5), std::domain_error);
    CHECK_THROWS_AS(gaussian_filter(profile, std::numeric_limits<double>::quiet_NaN()), std::domain_error);
    CHECK_THROWS_AS(gaussian_filter({}, 1.0), std::domain_error);
    auto gap = profile;
    gap[7] = std::numeric_limits<double>::quiet_NaN();
    CHECK_THROWS_AS(gaussian_filter(gap, 15.0), std::domain_error);
}
