#include "analysis/wear/extremes.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <Eigen/Dense>

#include "analysis/uncertainty/influence.hpp"

namespace lobewright {
namespace {

constexpr Eigen::Index reading_bins = 17;

/// Normal deviates by Box-Muller on SplitMix64 (G. Steele et al. 2014, from memory): the same on every
/// platform.
class Normal {
public:
    explicit Normal(std::uint64_t seed) : state_(seed) {}

    double operator()() {
        if (has_spare_) {
            has_spare_ = false;
            return spare_;
        }
        const double radius = std::sqrt(-2.0 * std::log(1.0 - uniform()));
        const double angle = 2.0 * std::numbers::pi * uniform();
        spare_ = radius * std::sin(angle);
        has_spare_ = true;
        return radius * std::cos(angle);
    }

private:
    std::uint64_t state_;
    double spare_ = 0.0;
    bool has_spare_ = false;

    double uniform() {
        std::uint64_t z = (state_ += 0x9e3779b97f4a7c15ULL);
        z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ULL;
        z = (z ^ (z >> 27)) * 0x94d049bb133111ebULL;
        return static_cast<double>((z ^ (z >> 31)) >> 11) * 0x1.0p-53;
    }
};

struct Extremes {
    double max_mm = 0.0;
    double area_mm_deg = 0.0;
};

Extremes extremes_of(const WearNodes& nodes, const std::array<std::vector<double>, 2>& wear) {
    Extremes out;
    for (std::size_t e = 0; e < 2; ++e) {
        for (std::size_t i = 0; i < wear[e].size(); ++i) {
            out.max_mm = std::max(out.max_mm, wear[e][i]);
            out.area_mm_deg += 0.5 * nodes.step_deg[i] * std::max(wear[e][i], 0.0);
        }
    }
    return out;
}

/// Square root of the covariance of an indicator's error over readings from the heel's (0) upward, less its
/// value on the heel.
Eigen::MatrixXd error_root(const WearNodes& nodes, double step_mm) {
    Eigen::MatrixXd c(reading_bins, reading_bins);
    for (Eigen::Index i = 0; i < reading_bins; ++i) {
        for (Eigen::Index j = 0; j < reading_bins; ++j) {
            c(i, j) = indicator_correlation(static_cast<double>(i - j) * step_mm, nodes.correlation_mm);
        }
        c(i, i) += 1e-9;
    }
    Eigen::MatrixXd root = c.llt().matrixL();
    root *= nodes.indicator_sd_mm;
    const Eigen::RowVectorXd heel = root.row(0);
    for (Eigen::Index i = 0; i < reading_bins; ++i) root.row(i) -= heel;
    return root;
}

}  // namespace

ExtremeSpread extreme_spread(const WearNodes& nodes, std::size_t draws, std::uint64_t seed) {
    ExtremeSpread out;
    const std::size_t count = nodes.step_deg.size();
    if (count == 0 || draws < 2) return out;
    const double top = std::max(*std::max_element(nodes.reading_mm.begin(), nodes.reading_mm.end()), 1e-6);
    const double step = top / static_cast<double>(reading_bins - 1);
    const Eigen::MatrixXd root = error_root(nodes, step);
    Normal normal(seed);
    const auto base = extremes_of(nodes, nodes.wear_mm);
    auto wear = nodes.wear_mm;
    double max_sum = 0.0, max_square = 0.0, area_sum = 0.0, area_square = 0.0;
    Eigen::VectorXd z(reading_bins);
    std::array<Eigen::VectorXd, 2> error;
    for (std::size_t draw = 0; draw < draws; ++draw) {
        for (auto& e : error) {
            for (Eigen::Index i = 0; i < reading_bins; ++i) z(i) = normal();
            e = root * z;
        }
        for (std::size_t i = 0; i < count; ++i) {
            const double x =
                std::clamp(nodes.reading_mm[i] / step, 0.0, static_cast<double>(reading_bins - 1));
            const auto bin = std::min(static_cast<Eigen::Index>(x), reading_bins - 2);
            const double u = x - static_cast<double>(bin);
            const double front = error[0](bin) * (1.0 - u) + error[0](bin + 1) * u;
            const double rear = error[1](bin) * (1.0 - u) + error[1](bin + 1) * u;
            wear[0][i] = nodes.wear_mm[0][i] + nodes.front_mix[0] * front + nodes.front_mix[1] * rear +
                         nodes.noise_mm[0][i] * normal();
            wear[1][i] = nodes.wear_mm[1][i] + nodes.rear_mix[0] * front + nodes.rear_mix[1] * rear +
                         nodes.noise_mm[1][i] * normal();
        }
        const auto drawn = extremes_of(nodes, wear);
        const double m = drawn.max_mm - base.max_mm, a = drawn.area_mm_deg - base.area_mm_deg;
        max_sum += m;
        max_square += m * m;
        area_sum += a;
        area_square += a * a;
    }
    const auto n = static_cast<double>(draws);
    out.max_bias_mm = max_sum / n;
    out.max_sd_mm = std::sqrt(std::max(0.0, max_square / n - out.max_bias_mm * out.max_bias_mm));
    out.area_bias_mm_deg = area_sum / n;
    out.area_sd_mm_deg =
        std::sqrt(std::max(0.0, area_square / n - out.area_bias_mm_deg * out.area_bias_mm_deg));
    return out;
}

}  // namespace lobewright
