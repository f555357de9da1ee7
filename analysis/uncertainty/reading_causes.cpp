// What depends on where an indicator's reading stands: its own error, and its step.
#include <algorithm>
#include <array>
#include <cmath>

#include "analysis/constants.hpp"
#include "analysis/uncertainty/influence.hpp"

namespace lobewright {
namespace {

constexpr double least_rounding = 1e-3;  // of a step: less of it shows nowhere

// Half a step either way is what a circle that moves no count may have for its once-per-turn part: half of that on the
// mean. Its direction is anyone's guess.
constexpr double circle_doubt_steps = 0.25;
constexpr int circles_before_step = 6;

}  // namespace

std::vector<std::vector<double>> RunUncertainty::readings_before_step(std::size_t edge) const {
    std::vector<std::vector<double>> out;
    if (rounding_[0] <= least_rounding * step_mm_) return out;
    const auto [cosine, sine] = grid_angles(grid_points);
    const Sinusoid& seen = edge == 0 ? shape_.front_circle : shape_.rear_circle;
    for (int i = 0; i < circles_before_step; ++i) {
        const double way = two_pi * i / circles_before_step, off = circle_doubt_steps * step_mm_;
        const double a = seen.a + off * std::cos(way), b = seen.b + off * std::sin(way);
        auto& reading = out.emplace_back(edge == 0 ? shape_.front_reading : shape_.rear_reading);
        const GridArc arc = heel_.arc();
        for (std::size_t p = 0, g = arc.first; p < arc.count; ++p, g = g + 1 == grid_points ? 0 : g + 1)
            reading[g] = seen.c0 + a * cosine[g] + b * sine[g];
    }
    return out;
}

ReadingBins RunUncertainty::by_reading(const std::vector<double>& weights,
                                       const std::vector<double>& reading) const {
    ReadingBins out;
    const std::size_t last = out.weight.size() - 1;
    const auto [low, high] = std::minmax_element(reading.begin(), reading.end());
    out.step_mm = std::max(*high - *low, 1e-9) / static_cast<double>(last);
    for (std::size_t g = 0; g < weights.size(); ++g) {
        if (weights[g] == 0.0) continue;
        const double x = (reading[g] - *low) / out.step_mm;
        const auto i = std::min(static_cast<std::size_t>(x), last - 1);
        const double u = x - static_cast<double>(i);
        out.weight[i] += weights[g] * (1.0 - u);
        out.weight[i + 1] += weights[g] * u;
    }
    return out;
}

double RunUncertainty::indicator_variance(const ReadingBins& bins) const {
    if (limit_mm_ <= 0.0) return 0.0;
    const auto& w = bins.weight;
    std::array<double, std::tuple_size_v<decltype(bins.weight)>> rho{};
    for (std::size_t d = 0; d < rho.size(); ++d) {
        rho[d] = indicator_correlation(static_cast<double>(d) * bins.step_mm, travel_mm_);
    }
    double sum = 0.0;
    for (std::size_t i = 0; i < w.size(); ++i) {
        if (w[i] == 0.0) continue;
        sum += w[i] * w[i];
        for (std::size_t j = 0; j < i; ++j) sum += 2.0 * w[i] * w[j] * rho[i - j];
    }
    return std::max(sum, 0.0) * limit_mm_ * limit_mm_ / 3.0;
}

double RunUncertainty::rounding_variance(std::size_t edge, const std::vector<double>& weights) const {
    double sum = 0.0;
    for (const auto& reading : before_step_[edge]) sum += rounding_variance_at(weights, reading);
    return before_step_[edge].empty() ? 0.0 : sum / static_cast<double>(before_step_[edge].size());
}

double RunUncertainty::rounding_variance_at(const std::vector<double>& weights,
                                            const std::vector<double>& reading) const {
    double sum = 0.0;
    for (std::size_t k = 0; k < rounding_.size(); ++k) {
        if (rounding_[k] <= least_rounding * step_mm_) continue;
        const double per_mm = two_pi * static_cast<double>(k + 1) / step_mm_;
        double c = 0.0, s = 0.0;
        for (std::size_t g = 0; g < weights.size(); ++g) {
            if (weights[g] == 0.0) continue;
            // Between two grid angles the reading runs through its steps and averages them out: sinc of half
            // the phase.
            const std::size_t next = g + 1 == weights.size() ? 0 : g + 1;
            const double half = 0.5 * per_mm * std::abs(reading[next] - reading[g]);
            const double w = half < 1e-6 ? weights[g] : weights[g] * std::sin(half) / half;
            c += w * std::cos(per_mm * reading[g]);
            s += w * std::sin(per_mm * reading[g]);
        }
        sum += 0.5 * rounding_[k] * rounding_[k] * (c * c + s * s);
    }
    return sum;
}

}  // namespace lobewright
