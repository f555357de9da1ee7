#include "analysis/lobe/heel_disturbance.hpp"

#include <algorithm>
#include <cmath>

#include "analysis/constants.hpp"

namespace lobewright {
namespace {

constexpr double least_shown = 1e-3;      // of a step: less than that left of it shows nowhere
constexpr double least_variance = 1e-20;  // mm^2; keeps the root real where readings have no noise

/// What the rows weigh near each grid point, up to a common factor.
std::vector<double> weight_on_grid(const SplineSystem& system) {
    const auto& gram = system.gram();
    const std::size_t k = gram.size();
    std::vector<double> by_knot(k, 0.0), out(grid_points);
    for (std::size_t j = 0; j < k; ++j) {
        by_knot[j] += gram[j][0];
        for (std::size_t d = 1; d < gram[j].size(); ++d) {
            by_knot[j] += gram[j][d];
            by_knot[(j + d) % k] += gram[j][d];
        }
    }
    for (std::size_t g = 0; g < grid_points; ++g) out[g] = by_knot[g * k / grid_points];
    return out;
}

double noise_variance_of(const LobeView& view, EdgeMix mix, const std::vector<double>& weights) {
    CurveWeights probe;
    probe.add(mix, weights, 1.0);
    UncertaintyTerms squares;
    CommonCauses common;
    view.run.add_terms(probe, squares, common);
    return squares.noise + squares.encoder;
}

}  // namespace

std::vector<double> with_ends(std::vector<double> block) {
    const std::size_t n = block.size();
    const auto end = [](double near, double next,
                        double third) {  // least squares, half a block before the first
        return (13.0 * near + 4.0 * next - 5.0 * third) / 12.0;
    };
    const double first = end(block[0], block[1], block[2]),
                 last = end(block[n - 1], block[n - 2], block[n - 3]);
    block.insert(block.begin(), first);
    block.push_back(last);
    return block;
}

HeelDisturbance::HeelDisturbance(const LobeView& view, EdgeMix mix, std::size_t blocks)
    : view_(view),
      mix_(mix),
      arc_(view.heel.arc()),
      blocks_(blocks),
      rounding_(view.run.rounding()),
      step_mm_(view.run.step_mm()) {
    const auto n = static_cast<Eigen::Index>(blocks);
    Eigen::MatrixXd covariance = Eigen::MatrixXd::Zero(n, n);
    const auto noise = noise_variances();
    for (Eigen::Index b = 0; b < n; ++b)
        covariance(b, b) = std::max(noise[static_cast<std::size_t>(b)], least_variance);
    const auto& walk = view.curve.noise.walk;
    if (walk.stretches > 0) {
        using RowMajor = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
        const auto stretches = static_cast<Eigen::Index>(walk.stretches);
        const Eigen::Map<const RowMajor> of_curve(walk.covariance.data(), stretches, stretches);
        const auto& strength = view.curve.noise.walk_strength;
        const double alike = mix.front + mix.rear, apart = mix.rear - mix.front;
        const Eigen::MatrixXd way = walk_to_blocks();
        covariance += (alike * alike * strength[0].mm2_per_turn + apart * apart * strength[1].mm2_per_turn) *
                      (way * of_curve * way.transpose());
    }
    root_ = covariance.llt().matrixL();
}

std::vector<double> HeelDisturbance::draw(NormalDraws& normal) const {
    Eigen::VectorXd z(root_.rows());
    for (double& one : z) one = normal();
    const Eigen::VectorXd drawn = root_ * z;
    std::vector<double> block(drawn.begin(), drawn.end());
    if (rounding_[0] > least_shown * step_mm_) {
        std::vector<double> curve(grid_points, 0.0);
        add_rounding(curve, mix_.front, view_.shape.front_circle, normal);
        add_rounding(curve, mix_.rear, view_.shape.rear_circle, normal);
        view_.heel.remove(curve);
        const auto left = means(curve);
        for (std::size_t b = 0; b < blocks_; ++b) block[b] += left[b];
    }
    return with_ends(std::move(block));
}

std::vector<double> HeelDisturbance::means(const std::vector<double>& curve) const {
    std::vector<double> mean(blocks_, 0.0), count(blocks_, 0.0);
    for (std::size_t i = 0, g = arc_.first; i < arc_.count; ++i, g = g + 1 == grid_points ? 0 : g + 1) {
        const std::size_t b = i * blocks_ / arc_.count;
        mean[b] += curve[g];
        count[b] += 1.0;
    }
    for (std::size_t b = 0; b < blocks_; ++b) mean[b] /= count[b];
    return mean;
}

/// Parts of the heel may have been swept oftener than others: one block's by the budget, the others' by their weight.
std::vector<double> HeelDisturbance::noise_variances() const {
    const double length = static_cast<double>(arc_.count - 1) / static_cast<double>(blocks_);
    const std::size_t middle = blocks_ / 2;
    const double from = static_cast<double>(arc_.first) + length * static_cast<double>(middle);
    const double variance = noise_variance_of(view_, mix_, mean_weights(from, from + length));
    const auto weight = means(weight_on_grid(view_.curve.system));
    std::vector<double> out;
    out.reserve(weight.size());
    for (const double own : weight) out.push_back(own > 0.0 ? variance * weight[middle] / own : variance);
    return out;
}

/// Columns: what a unit on one stretch of the turn makes of the blocks' means, straight between the stretches' middles.
Eigen::MatrixXd HeelDisturbance::walk_to_blocks() const {
    const std::size_t stretches = view_.curve.noise.walk.stretches;
    Eigen::MatrixXd out(static_cast<Eigen::Index>(blocks_), static_cast<Eigen::Index>(stretches));
    const double per_stretch = static_cast<double>(grid_points) / static_cast<double>(stretches);
    for (std::size_t s = 0; s < stretches; ++s) {
        std::vector<double> curve(grid_points, 0.0);
        for (std::size_t g = 0; g < grid_points; ++g) {
            const double off = (static_cast<double>(g) + 0.5) / per_stretch - (static_cast<double>(s) + 0.5);
            const double away = std::abs(off - static_cast<double>(stretches) *
                                                   std::round(off / static_cast<double>(stretches)));
            curve[g] = std::max(1.0 - away, 0.0);
        }
        view_.heel.remove(curve);
        const auto column = means(curve);
        for (std::size_t b = 0; b < blocks_; ++b)
            out(static_cast<Eigen::Index>(b), static_cast<Eigen::Index>(s)) = column[b];
    }
    return out;
}

/// The indicator's marks lie anywhere.
void HeelDisturbance::add_rounding(std::vector<double>& curve, double factor, const Sinusoid& circle,
                                   NormalDraws& normal) const {
    const auto [cosine, sine] = grid_angles(grid_points);
    const double mark = two_pi * normal.uniform();
    for (std::size_t i = 0; i < arc_.count; ++i) {
        const std::size_t g = (arc_.first + i) % grid_points;
        const double phase = two_pi / step_mm_ * (circle.a * cosine[g] + circle.b * sine[g]) + mark;
        double left = 0.0;
        for (std::size_t k = 0; k < rounding_.size(); ++k)
            left += rounding_[k] * std::sin(static_cast<double>(k + 1) * phase);
        curve[g] += factor * left;
    }
}

}  // namespace lobewright
