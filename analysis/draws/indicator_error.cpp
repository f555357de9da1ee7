#include "analysis/draws/indicator_error.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <Eigen/Dense>
#include <boost/random/normal_distribution.hpp>

#include "analysis/uncertainty/influence.hpp"

namespace lobewright {
namespace {

// A straight line between nodes is off by 1/1400 of the limit at most, on the quickest swings; half as many nodes make it
// 1/350.
constexpr double nodes_per_travel = 100.0;
constexpr double least_part = 1e-9;  // of the variance of all nodes: rounding errors of the decomposition

}  // namespace

double DrawnError::at(double reading_mm) const {
    if (error_mm_.empty()) return 0.0;
    const double last = static_cast<double>(error_mm_.size() - 1);
    const double x = std::clamp((reading_mm - low_mm_) / node_mm_, 0.0, last);
    const auto i = std::min(static_cast<std::size_t>(x), error_mm_.size() - 2);
    const double u = x - static_cast<double>(i);
    return error_mm_[i] + u * (error_mm_[i + 1] - error_mm_[i]);
}

UnknownError::UnknownError(double limit_mm, double travel_mm, double low_mm, double high_mm)
    : limit_mm_(limit_mm), low_mm_(low_mm), node_mm_(travel_mm / nodes_per_travel) {
    if (!(limit_mm > 0.0)) return;
    nodes_ = static_cast<std::size_t>(std::ceil((high_mm - low_mm) / node_mm_)) + 2;
    const auto n = static_cast<Eigen::Index>(nodes_);
    Eigen::MatrixXd correlation(n, n);
    for (Eigen::Index i = 0; i < n; ++i) {
        for (Eigen::Index j = 0; j < n; ++j) {
            correlation(i, j) =
                indicator_correlation(node_mm_ * static_cast<double>(std::abs(i - j)), travel_mm);
        }
    }
    const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> solver(correlation);
    for (Eigen::Index k = n; k-- > 0;) {
        const double variance = solver.eigenvalues()(k);
        if (variance < least_part * static_cast<double>(n)) break;  // they rise
        std::vector<double> part(nodes_);
        for (std::size_t i = 0; i < nodes_; ++i) {
            part[i] = std::sqrt(variance) * solver.eigenvectors()(static_cast<Eigen::Index>(i), k);
        }
        parts_.push_back(std::move(part));
    }
}

DrawnError UnknownError::draw(DrawEngine& engine) const {
    if (parts_.empty()) return {};
    boost::random::normal_distribution<double> normal;
    std::vector<double> error(nodes_, 0.0);
    for (const auto& part : parts_) {
        const double size = normal(engine);
        for (std::size_t i = 0; i < nodes_; ++i) error[i] += size * part[i];
    }
    // 2 Phi(g) - 1
    for (double& e : error) e = limit_mm_ * std::erf(e / std::numbers::sqrt2);
    return {low_mm_, node_mm_, std::move(error)};
}

}  // namespace lobewright
