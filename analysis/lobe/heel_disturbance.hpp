// heel_disturbance.hpp: what a lobe's heel would show in blocks of some degrees if it were perfectly round: noise, what the
// indicators walk, what their step leaves, drawn afresh. mm.
#pragma once

#include <array>
#include <vector>

#include <Eigen/Dense>

#include "analysis/lobe/lobe_view.hpp"
#include "analysis/uncertainty/normal_draws.hpp"

namespace lobewright {

/// Blocks' means with what stands at the arc's two ends before and behind. A block's mean lags behind a form that rises
/// toward the arc's ends, so that they go by the line through two blocks.
std::vector<double> with_ends(std::vector<double> block);

/// Of the curve at one place along z; the view must outlive it.
class HeelDisturbance {
public:
    HeelDisturbance(const LobeView& view, EdgeMix mix, std::size_t blocks);

    /// With ends.
    [[nodiscard]] std::vector<double> draw(NormalDraws& normal) const;

private:
    const LobeView& view_;
    EdgeMix mix_;
    GridArc arc_;
    std::size_t blocks_;
    std::array<double, rounding_count> rounding_;
    double step_mm_;
    Eigen::MatrixXd root_;  // of the covariance of the blocks' means: noise and walk

    [[nodiscard]] std::vector<double> means(const std::vector<double>& curve) const;
    [[nodiscard]] std::vector<double> noise_variances() const;
    [[nodiscard]] Eigen::MatrixXd walk_to_blocks() const;
    void add_rounding(std::vector<double>& curve, double factor, const Sinusoid& circle,
                      NormalDraws& normal) const;
};

}  // namespace lobewright
