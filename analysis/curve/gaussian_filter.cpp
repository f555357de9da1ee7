#include "analysis/curve/gaussian_filter.hpp"

#include <cmath>
#include <numbers>
#include <numeric>
#include <stdexcept>

#include <fmt/format.h>

namespace lobewright {
namespace {

const double alpha = std::sqrt(std::numbers::ln2 / std::numbers::pi);

/// At so many widths alpha lc a weight is 1e-20 of the largest: nothing beside rounding.
constexpr double reach_in_widths = 3.83;

/// Fewer, and samples of the weight let short waves through that the weight itself stops: at the cut-off 3e-8 with
/// six points, 2e-3 with four. Seven are also the least that ISO 12181-2 asks for (from memory).
constexpr double least_points_a_wave = 7.0;

void check_cutoff(std::size_t n, double cutoff_upr) {
    if (!std::isfinite(cutoff_upr) || cutoff_upr < 1.0) {
        throw std::domain_error(
            fmt::format("a cut-off of {:.6g} undulations a turn can't be; give 1 or more", cutoff_upr));
    }
    if (static_cast<double>(n) < least_points_a_wave * cutoff_upr) {
        throw std::domain_error(
            fmt::format("{} points a turn are too few for a cut-off of {:.6g} undulations; {:.0f} are "
                        "needed, or a lower cut-off",
                        n, cutoff_upr, std::ceil(least_points_a_wave * cutoff_upr)));
    }
}

/// The weight's width alpha lc in steps of the grid.
double width_in_steps(std::size_t n, double cutoff_upr) {
    return alpha * static_cast<double>(n) / cutoff_upr;
}

}  // namespace

double gaussian_transmission(double undulations, double cutoff_upr) {
    const double q = undulations / cutoff_upr;
    return std::exp2(-q * q);
}

std::vector<double> gaussian_weights(std::size_t n, double cutoff_upr) {
    check_cutoff(n, cutoff_upr);
    const double width = width_in_steps(n, cutoff_upr);
    const auto turn = static_cast<double>(n);
    const auto turns = static_cast<int>(std::ceil(reach_in_widths * width / turn));
    std::vector<double> out(n, 0.0);
    for (std::size_t k = 0; k < n; ++k) {
        for (int m = -turns; m <= turns; ++m) {
            const double x = (static_cast<double>(k) + m * turn) / width;
            out[k] += std::exp(-std::numbers::pi * x * x);
        }
    }
    const double sum = std::accumulate(out.begin(), out.end(), 0.0);
    for (double& weight : out) weight /= sum;
    return out;
}

FilteredProfile gaussian_filter(std::span<const double> profile, double cutoff_upr) {
    const std::size_t n = profile.size();
    for (const double value : profile) {
        if (!std::isfinite(value))
            throw std::domain_error("a profile with a gap can't be filtered; fill it or leave it");
    }
    const auto weight = gaussian_weights(n, cutoff_upr);
    const auto reach = static_cast<std::size_t>(reach_in_widths * width_in_steps(n, cutoff_upr));
    FilteredProfile out{std::vector<double>(n), {profile.begin(), profile.end()}};
    for (std::size_t g = 0; g < n; ++g) {
        double sum = weight[0] * profile[g];
        // Weights of either side alike; once both sides have met half a turn away, all points are in.
        for (std::size_t k = 1; k <= reach && 2 * k <= n; ++k) {
            const double ahead = profile[g + k < n ? g + k : g + k - n];
            sum += weight[k] * (2 * k == n ? ahead : ahead + profile[g >= k ? g - k : g + n - k]);
        }
        out.long_wave[g] = sum;
        out.short_wave[g] -= sum;
    }
    return out;
}

}  // namespace lobewright
