#include "analysis/wear/extremes.hpp"

#include <algorithm>
#include <cmath>

#include <Eigen/Dense>

#include "analysis/uncertainty/influence.hpp"
#include "analysis/uncertainty/normal_draws.hpp"

namespace lobewright {
namespace {

constexpr Eigen::Index reading_bins = 17;

/// Square root of the covariance of an indicator's error over readings from the heel's (0) upward, less its
/// value on the heel.
Eigen::MatrixXd error_root(const WearNodes& nodes, double step_mm) {
    Eigen::MatrixXd c(reading_bins, reading_bins);
    for (Eigen::Index i = 0; i < reading_bins; ++i) {
        for (Eigen::Index j = 0; j < reading_bins; ++j) {
            c(i, j) = indicator_correlation(static_cast<double>(i - j) * step_mm, nodes.travel_mm);
        }
        c(i, i) += 1e-9;
    }
    Eigen::MatrixXd root = c.llt().matrixL();
    root *= nodes.indicator_sd_mm;
    const Eigen::RowVectorXd heel = root.row(0);
    for (Eigen::Index i = 0; i < reading_bins; ++i) root.row(i) -= heel;
    return root;
}

/// Draws of the disturbance of all nodes: [draw][edge * count + node].
std::vector<std::vector<double>> disturbances(const WearNodes& nodes, std::size_t draws, std::uint64_t seed) {
    const std::size_t count = nodes.reading_mm.size();
    const double top = std::max(*std::max_element(nodes.reading_mm.begin(), nodes.reading_mm.end()), 1e-6);
    const double step = top / static_cast<double>(reading_bins - 1);
    const Eigen::MatrixXd root = error_root(nodes, step);
    NormalDraws normal(seed);
    std::vector<std::vector<double>> out(draws, std::vector<double>(2 * count));
    Eigen::VectorXd z(reading_bins);
    std::array<Eigen::VectorXd, 2> error;
    for (auto& drawn : out) {
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
            drawn[i] =
                nodes.front_mix[0] * front + nodes.front_mix[1] * rear + nodes.noise_mm[0][i] * normal();
            drawn[count + i] =
                nodes.rear_mix[0] * front + nodes.rear_mix[1] * rear + nodes.noise_mm[1][i] * normal();
        }
    }
    return out;
}

/// Mean square of the values at some places about their own mean.
double scatter(const std::vector<double>& values, const std::vector<std::size_t>& places) {
    double sum = 0.0, square = 0.0;
    for (std::size_t i : places) {
        sum += values[i];
        square += values[i] * values[i];
    }
    const auto n = static_cast<double>(places.size());
    return std::max(0.0, square / n - sum * sum / (n * n));
}

}  // namespace

LargestWear largest_wear(const WearNodes& nodes, std::size_t draws, std::uint64_t seed) {
    constexpr double reach = 4.0;  // standard deviations: the span of a disturbed plateau
    if (nodes.reading_mm.empty() || draws < 2) return {};
    const auto drawn = disturbances(nodes, draws, seed);
    std::vector<double> wear = nodes.wear_mm[0];
    wear.insert(wear.end(), nodes.wear_mm[1].begin(), nodes.wear_mm[1].end());
    const auto top = static_cast<std::size_t>(std::max_element(wear.begin(), wear.end()) - wear.begin());
    const double raw = wear[top];
    double square = 0.0;
    for (const auto& d : drawn) square += d[top] * d[top];
    const double sd = std::sqrt(square / static_cast<double>(draws));

    std::vector<std::size_t> near;
    double mean = 0.0;
    for (std::size_t i = 0; i < wear.size(); ++i) {
        if (wear[i] < raw - reach * sd) continue;
        near.push_back(i);
        mean += wear[i];
    }
    mean /= static_cast<double>(near.size());
    double feigned = 0.0;  // scatter that the disturbances alone give these places
    for (const auto& d : drawn) feigned += scatter(d, near) / static_cast<double>(draws);
    const double seen = scatter(wear, near);
    const double peaked = seen > 0.0 ? std::max(0.0, 1.0 - feigned / seen) : 0.0;
    for (std::size_t i : near) wear[i] = mean + peaked * (wear[i] - mean);

    const double shrunk = *std::max_element(wear.begin(), wear.end());
    double bias = 0.0, square_off = 0.0;
    for (const auto& d : drawn) {
        double most = wear[0] + d[0];
        for (std::size_t i = 1; i < wear.size(); ++i) most = std::max(most, wear[i] + d[i]);
        bias += (most - shrunk) / static_cast<double>(draws);
        square_off += (most - shrunk) * (most - shrunk) / static_cast<double>(draws);
    }
    const double own_sd = std::sqrt(std::max(square_off - bias * bias, 0.0));
    return {std::min(0.0, shrunk - raw - peaked * bias), sd, sd > 0.0 ? std::min(own_sd / sd, 1.0) : 1.0};
}

}  // namespace lobewright
