// Notation: n grid points P_g = R_g (cos psi_g, sin psi_g); theta the direction looked in, u its unit vector;
// F(psi) = R(psi) cos(psi - theta) how far a point of the curve lies along u; s the grid's step.
#include "analysis/follower/envelope.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include <fmt/format.h>

#include "analysis/constants.hpp"
#include "analysis/curve/sinusoid.hpp"
#include "analysis/units.hpp"

namespace lobewright {
namespace {

// Newton doubles its digits each round: once it moved by less than 1e-6 of a grid step, what is left is below
// 1e-10, and F, flat at its top, is exact in double precision. Where it must halve instead (F is bent the
// wrong way, which noise can do) 30 rounds leave 1e-9 of a step.
constexpr double newton_done = 1e-6;
constexpr int most_newton_rounds = 30;

// The curve's own top lies within a step of the grid point that the hull chose; near a bridge's critical
// angle the grid may be a step off on top of that. Without the bound, a straight flank would be climbed from
// end to end.
constexpr int most_steps_up = 2;

// Grid points of a straight flank lie this far below each other's line by rounding alone, as a part of R.
constexpr double rounding = 1e-12;

/// Twice the area of the triangle, positive when a, b, c go round with the angle.
double turn(double ax, double ay, double bx, double by, double cx, double cy) {
    return (bx - ax) * (cy - ay) - (by - ay) * (cx - ax);
}

void check_positive(std::span<const double> radius) {
    for (std::size_t g = 0; g < radius.size(); ++g) {
        if (!(radius[g] > 0.0)) {
            throw std::domain_error(
                fmt::format("the distance from the cam's axis is {:.6g} at {:.2f} deg; it must be positive "
                            "all round: check "
                            "the base diameter",
                            radius[g], 360.0 * static_cast<double>(g) / static_cast<double>(radius.size())));
        }
    }
}

/// The hull of points in order of angle about a centre inside it. It begins at the farthest point, which is
/// on it for certain, and drops whatever lies behind the line of its neighbours.
std::vector<std::size_t> hull_of(std::span<const double> radius, const std::vector<double>& x,
                                 const std::vector<double>& y) {
    const std::size_t n = radius.size();
    const auto start =
        static_cast<std::size_t>(std::max_element(radius.begin(), radius.end()) - radius.begin());
    std::vector<std::size_t> hull{start};
    for (std::size_t k = 1; k <= n; ++k) {
        const std::size_t next = (start + k) % n;
        while (hull.size() > 1) {
            const std::size_t a = hull[hull.size() - 2], b = hull.back();
            if (turn(x[a], y[a], x[b], y[b], x[next], y[next]) > 0.0) break;
            hull.pop_back();
        }
        hull.push_back(next);
    }
    hull.pop_back();  // the start again
    std::rotate(hull.begin(), std::min_element(hull.begin(), hull.end()), hull.end());
    return hull;
}

}  // namespace

struct Envelope::Direction {
    double rad;
    double cosine;
    double sine;

    static Direction at(double theta_rad) { return {theta_rad, std::cos(theta_rad), std::sin(theta_rad)}; }
};

Envelope::Envelope(std::span<const double> radius) : curve_(radius) {
    check_positive(radius);
    const std::size_t n = radius.size();
    const auto [cosine, sine] = grid_angles(n);
    x_.resize(n);
    y_.resize(n);
    for (std::size_t g = 0; g < n; ++g) {
        x_[g] = radius[g] * cosine[g];
        y_[g] = radius[g] * sine[g];
    }
    hull_ = hull_of(radius, x_, y_);
}

double Envelope::along(std::size_t g, const Direction& direction) const {
    return x_[g] * direction.cosine + y_[g] * direction.sine;
}

/// The turning point of F next to grid point g, where F is larger (sense 1) or smaller (sense -1) than at
/// both neighbours: F' changes sign within the step on the side to which F still rises (falls).
Reach Envelope::refined(std::size_t g, const Direction& direction, double sense) const {
    const std::size_t n = curve_.points();
    const double s = curve_.step_rad();
    const double offset = wrapped_rad(static_cast<double>(g) * s - direction.rad);
    const auto slope = [&](const CurvePoint& r, double c, double d) {
        return sense * (r.first * c - r.value * d);
    };
    const CurvePoint here = curve_.at_grid(g);
    const double c0 = along(g, direction) / here.value;
    const double d0 = (y_[g] * direction.cosine - x_[g] * direction.sine) / here.value;
    const bool onward = slope(here, c0, d0) >= 0.0;
    const std::size_t cell = onward ? g : (g == 0 ? n - 1 : g - 1);
    const double cell_offset = onward ? offset : offset - s;

    double low = 0.0, high = 1.0, u = onward ? 0.0 : 1.0;
    CurvePoint r = here;
    double c = c0, d = d0;
    for (int round = 0; round < most_newton_rounds; ++round) {
        const double rise = slope(r, c, d);
        (rise >= 0.0 ? low : high) = u;
        const double bend = sense * (r.second * c - 2.0 * r.first * d - r.value * c) * s;
        double next = u - rise / bend;
        if (!(bend < 0.0 && next >= low && next <= high)) next = 0.5 * (low + high);
        const double moved = std::fabs(next - u);
        u = next;
        r = curve_.within(cell, u);
        c = std::cos(cell_offset + u * s);
        d = std::sin(cell_offset + u * s);
        if (moved < newton_done) break;
    }
    return {r.value * c, direction.rad + cell_offset + u * s};
}

/// The highest point of F on the hill that grid point g stands on.
Reach Envelope::top_near(std::size_t g, const Direction& direction) const {
    const std::size_t n = curve_.points();
    for (int climbed = 0; climbed < most_steps_up; ++climbed) {
        const std::size_t before = (g + n - 1) % n, after = (g + 1) % n;
        const double height = along(g, direction);
        if (along(after, direction) > height) {
            g = after;
        } else if (along(before, direction) > height) {
            g = before;
        } else {
            break;
        }
    }
    return refined(g, direction, 1.0);
}

std::vector<Reach> Envelope::reaches() const {
    const std::size_t n = curve_.points(), m = hull_.size();
    std::vector<Reach> out(n);
    std::size_t k = 0;
    {
        const auto first = std::max_element(hull_.begin(), hull_.end(),
                                            [&](std::size_t a, std::size_t b) { return x_[a] < x_[b]; });
        k = static_cast<std::size_t>(first - hull_.begin());
    }
    const auto [cosine, sine] = grid_angles(n);
    for (std::size_t i = 0; i < n; ++i) {
        const Direction direction{static_cast<double>(i) * curve_.step_rad(), cosine[i], sine[i]};
        while (along(hull_[(k + 1) % m], direction) > along(hull_[k], direction)) k = (k + 1) % m;
        const std::size_t at = hull_[k], before = hull_[(k + m - 1) % m], after = hull_[(k + 1) % m];
        out[i] = refined(at, direction, 1.0);
        // The grid's points say which end of a bridge is higher only to the height of the curve between them.
        for (const std::size_t other : {before, after}) {
            const std::size_t gap = other == after ? (after + n - at) % n : (at + n - before) % n;
            if (gap == 1) continue;
            const Reach rival = top_near(other, direction);
            if (rival.distance > out[i].distance) out[i] = rival;
        }
    }
    return out;
}

/// The grid point between two on the hull that lies farthest below their line.
std::size_t Envelope::lowest_between(std::size_t from, std::size_t to, const Direction& direction) const {
    const std::size_t n = curve_.points();
    std::size_t lowest = (from + 1) % n;
    for (std::size_t g = lowest; g != to; g = (g + 1) % n) {
        if (along(g, direction) < along(lowest, direction)) lowest = g;
    }
    return lowest;
}

/// The line that touches the curve on either side of a hollow: turned until both hills are equally high,
/// starting from the line through the two grid points. d F(top)/d theta = R sin(psi - theta). None when there
/// is no hollow between the grid points after all.
std::optional<Bridge> Envelope::bridge(std::size_t from, std::size_t to) const {
    double theta = std::atan2(x_[from] - x_[to], y_[to] - y_[from]);
    auto direction = Direction::at(theta);
    const std::size_t lowest = lowest_between(from, to, direction);
    const double sag = along(from, direction) - along(lowest, direction);
    if (sag < rounding * along(from, direction)) return std::nullopt;
    const auto lever = [&](const Reach& top) { return top.distance * std::tan(top.touching_rad - theta); };
    Reach first = top_near(from, direction), second = top_near(to, direction);
    for (int round = 0; round < 4;
         ++round) {  // quadratic from a start within a step: 1e-2, 1e-4, 1e-8, exact
        const double between = lever(second) - lever(first);
        if (!(between > 0.0)) return std::nullopt;  // both ends stand on one hill
        theta -= (second.distance - first.distance) / between;
        direction = Direction::at(theta);
        first = top_near(from, direction);
        second = top_near(to, direction);
    }
    const Reach bottom = refined(lowest_between(from, to, direction), direction, -1.0);
    const double depth = 0.5 * (first.distance + second.distance) - bottom.distance;
    if (!(first.touching_rad < bottom.touching_rad && bottom.touching_rad < second.touching_rad &&
          depth > 0.0)) {
        return std::nullopt;
    }
    const double turned = -two_pi * std::floor(first.touching_rad / two_pi);
    return Bridge{first.touching_rad + turned, second.touching_rad + turned, theta + turned,
                  bottom.touching_rad + turned, depth};
}

std::vector<Bridge> Envelope::bridges() const {
    const std::size_t n = curve_.points(), m = hull_.size();
    std::vector<Bridge> out;
    for (std::size_t k = 0; k < m; ++k) {
        const std::size_t from = hull_[k], to = hull_[(k + 1) % m];
        if ((to + n - from) % n == 1) continue;
        if (const auto found = bridge(from, to)) out.push_back(*found);
    }
    return out;
}

}  // namespace lobewright
