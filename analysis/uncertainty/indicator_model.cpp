#include "analysis/uncertainty/indicator_model.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "analysis/constants.hpp"

namespace lobewright {
namespace {

// An indicator's error swings, and how fast isn't stated. Their mean leaves heel and nose independent; the half-width
// decides what a ramp's taper carries: halved, its u95 grows by 8 %; as wide as the mean (no swing is likely too) it falls by 13 %.
constexpr double mean_swings = 0.75;  // over the travel
constexpr double half_width_swings = 0.45;

}  // namespace

double indicator_travel_mm(double lift_mm) {
    return std::max(lift_mm, 0.1);
}

double indicator_correlation(double distance_mm, double travel_mm) {
    const double x = two_pi * distance_mm / travel_mm, spread = half_width_swings * x;
    return std::cos(mean_swings * x) * (std::abs(spread) < 1e-6 ? 1.0 : std::sin(spread) / spread);
}

double indicator_slope_variance(double travel_mm) {
    const double per_mm = two_pi / travel_mm;
    return per_mm * per_mm * (mean_swings * mean_swings + half_width_swings * half_width_swings / 3.0);
}

std::array<double, rounding_count> rounding_harmonics(double step_mm, double seen_mm) {
    std::array<double, rounding_count> out{};
    if (step_mm <= 0.0) return out;
    constexpr double pi = std::numbers::pi;
    const double before = std::max(0.0, seen_mm * seen_mm - step_mm * step_mm / 12.0) / (step_mm * step_mm);
    for (std::size_t i = 0; i < out.size(); ++i) {
        const auto k = static_cast<double>(i + 1);
        out[i] = step_mm / (pi * k) * std::exp(-2.0 * pi * pi * k * k * before);
    }
    return out;
}

}  // namespace lobewright
