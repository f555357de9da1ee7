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

/// Mean over each segment of a walk of unit strength from the sweep's start, as a sum of independent parts: rows segments,
/// two columns a segment. Over a time h from a value W the walk ends at W + sqrt(h) x, and its mean is
/// W + sqrt(h)/2 x + sqrt(h/12) y,  x and y independent of unit variance (derived).
Eigen::MatrixXd walk_root(const std::vector<WalkSegment>& segments);

/// Offsets of all sweeps, by segment: columns z, a, b, d of each.
Eigen::MatrixXd walk_offset_columns(const std::vector<WalkSegment>& segments, std::size_t passes);

}  // namespace lobewright
