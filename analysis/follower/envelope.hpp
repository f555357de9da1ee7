// envelope.hpp: how far a closed curve round the axis reaches in every direction, and which of its points
// reaches there: max over psi of R(psi) cos(psi - theta). The one operation behind both ways between a flat
// tip's reading and a roller's (pitch_curve.hpp).
//
// Input     R(psi) > 0 on a uniform grid of n angles round the turn (grid_curve.hpp), in any unit.
// Model     a supporting line touches the curve on its convex hull, and goes round the hull as theta does.
//           The hull of the grid's points gives each touching point to a step; Newton's method on
//           d/dpsi [R cos(psi - theta)] = 0 refines it on the curve between them. Where the hull bridges a
//           hollow, both ends of the bridge stand for election.
// Source    derived; A. M. Andrew's hull scan for points in order of angle, from memory.
// Accuracy  that of GridCurve's values, of the order of step^6 where R is smooth; the touching angle is good
//           to 1e-10 rad at half a degree a point. Shown by tests/analysis/follower_pitch_curve_test.cpp.
// Cost      linear in n; about 0.1 ms for n = 720.
// Throws    std::domain_error for R <= 0, R not finite, or fewer than 8 points.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "analysis/follower/grid_curve.hpp"

namespace lobewright {

/// The farthest point in one direction.
struct Reach {
    double distance = 0.0;      // of the supporting line from the axis, unit of R
    double touching_rad = 0.0;  // psi of the touching point; within 90 deg of the direction, not wrapped
};

/// A stretch of the curve that no supporting line touches: the hull's straight line passes over it.
struct Bridge {
    double from_rad = 0.0;     // psi where the line leaves the curve
    double to_rad = 0.0;       // psi where it comes back to it; to > from, may pass 2 pi
    double normal_rad = 0.0;   // direction of the line's outward normal
    double deepest_rad = 0.0;  // psi of the point farthest below the line
    double depth = 0.0;        // of that point below the line, unit of R, > 0
};

class Envelope {
public:
    explicit Envelope(std::span<const double> radius);

    /// The reach in every grid direction 2 pi g / n.
    [[nodiscard]] std::vector<Reach> reaches() const;

    /// The stretches of two grid steps or more that the hull passes over, in order of angle; on a curve with
    /// straight and noisy stretches, many as shallow as the noise.
    [[nodiscard]] std::vector<Bridge> bridges() const;

private:
    struct Direction;
    GridCurve curve_;
    std::vector<double> x_, y_;      // the grid's points
    std::vector<std::size_t> hull_;  // those on the convex hull, in order of angle

    [[nodiscard]] double along(std::size_t g, const Direction& direction) const;
    [[nodiscard]] Reach refined(std::size_t g, const Direction& direction, double sense) const;
    [[nodiscard]] Reach top_near(std::size_t g, const Direction& direction) const;
    [[nodiscard]] std::size_t lowest_between(std::size_t from, std::size_t to,
                                             const Direction& direction) const;
    [[nodiscard]] std::optional<Bridge> bridge(std::size_t from, std::size_t to) const;
};

}  // namespace lobewright
