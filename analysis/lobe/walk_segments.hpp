// walk_segments.hpp: a lobe's legs cut into equal stretches of the turn, as slow_walk reckons with them, and what a random
// walk does to their means. mm, turns.
#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include <Eigen/Dense>

#include "analysis/lobe/legs.hpp"

namespace lobewright {

/// One leg's readings over one stretch.
struct WalkSegment {
    std::size_t pass = 0;
    std::size_t stretch = 0;
    double weight = 0.0;
    double encoder = 0.0;  // sum of the weights' encoder shares
    double turn = 0.0;
    double front = 0.0;
    double rear = 0.0;
    std::array<double, 4> offset{};  // 1, cos, sin, turn
};

/// Into how many stretches the turn is cut.
std::size_t walk_stretches(const Legs& legs);

/// In the order of time within each sweep. `angle_share` by knot interval; empty: none.
std::vector<WalkSegment> walk_segments(const Legs& legs, const std::vector<double>& angle_share);

/// Weight of each stretch, and by how many legs it was seen.
struct WalkStretches {
    std::vector<double> weight;
    std::vector<int> seen;

    WalkStretches(const std::vector<WalkSegment>& segments, std::size_t count);
};

/// K x `weights` (rows segments), K the covariance of a walk's means over the segments, strength 1. With h_i a segment's
/// length in turns and S_i where it begins in its sweep, K_ii = S_i + h_i/3 and K_ij = S_i + h_i/2 where i is before j in the
/// same sweep, else 0 (derived: integrals of min(s, t) over both segments).
Eigen::MatrixXd walk_covariance_times(const std::vector<WalkSegment>& segments,
                                      const Eigen::MatrixXd& weights);

/// Offsets of all sweeps, by segment: columns z, a, b, d of each.
Eigen::MatrixXd walk_offset_columns(const std::vector<WalkSegment>& segments, std::size_t passes);

}  // namespace lobewright
