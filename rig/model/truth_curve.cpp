#include "rig/model/truth_curve.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "analysis/constants.hpp"

namespace lobewright {

namespace {

constexpr double node_rad = two_pi / static_cast<double>(TruthCurve::nodes);

/// Solves a symmetric positive definite 3 x 3 system by elimination.
std::array<double, 3> solve(std::array<std::array<double, 4>, 3> m) {
    for (std::size_t i = 0; i < 3; ++i) {
        for (std::size_t row = 0; row < 3; ++row) {
            if (row == i) continue;
            const double factor = m[row][i] / m[i][i];
            for (std::size_t column = i; column < 4; ++column) m[row][column] -= factor * m[i][column];
        }
    }
    return {m[0][3] / m[0][0], m[1][3] / m[1][1], m[2][3] / m[2][2]};
}

}  // namespace

double OncePerTurn::at(double rad) const {
    return c0 + a * std::cos(rad) + b * std::sin(rad);
}

OncePerTurn once_per_turn(const TruthArc& arc, const std::vector<double>& values) {
    std::array<std::array<double, 4>, 3> normal{};
    const double step = arc.length_rad() / static_cast<double>(values.size() - 1);
    for (std::size_t i = 0; i < values.size(); ++i) {
        const double rad = arc.from_rad + step * static_cast<double>(i);
        const std::array<double, 4> row{1.0, std::cos(rad), std::sin(rad), values[i]};
        const double weight = i == 0 || i + 1 == values.size() ? 0.5 : 1.0;
        for (std::size_t j = 0; j < 3; ++j) {
            for (std::size_t k = 0; k < 4; ++k) normal[j][k] += weight * row[j] * row[k];
        }
    }
    const auto [c0, a, b] = solve(normal);
    return {c0, a, b};
}

double span(const std::vector<double>& values) {
    const auto [low, high] = std::minmax_element(values.begin(), values.end());
    return *high - *low;
}

double TruthCurve::angle_rad(std::size_t i) {
    return node_rad * static_cast<double>(i);
}

Support TruthCurve::at(double rad) const {
    const double turned = rad - two_pi * std::floor(rad / two_pi);
    const double position = turned / node_rad;
    const auto whole = static_cast<std::size_t>(position);
    const double x = position - static_cast<double>(whole);
    const Support& p = node_[whole % nodes];
    const Support& q = node_[(whole + 1) % nodes];
    const double rise = q.h - p.h;
    const double p1 = p.h1 * node_rad;
    const double q1 = q.h1 * node_rad;
    const double c2 = 3.0 * rise - 2.0 * p1 - q1;
    const double c3 = p1 + q1 - 2.0 * rise;
    return {p.h + x * (p1 + x * (c2 + x * c3)), (p1 + x * (2.0 * c2 + x * 3.0 * c3)) / node_rad,
            p.h2 + x * (q.h2 - p.h2)};
}

TruthCurve TruthCurve::less(const OncePerTurn& part) const {
    static const TruthCurve cosine([](double rad) {
        return Support{std::cos(rad), -std::sin(rad), -std::cos(rad)};
    });
    TruthCurve rest = *this;
    for (std::size_t i = 0; i < nodes; ++i) {
        const Support& turn = cosine.node_[i];  // h1 is minus the sine
        const double wave = part.a * turn.h - part.b * turn.h1;
        rest.node_[i] += {-part.c0 - wave, -part.a * turn.h1 - part.b * turn.h, wave};
    }
    return rest;
}

std::size_t TruthCurve::largest_node() const {
    const auto top = std::max_element(
        node_.begin(), node_.end(), [](const Support& one, const Support& other) { return one.h < other.h; });
    return static_cast<std::size_t>(top - node_.begin());
}

double TruthCurve::largest() const {
    const std::size_t i = largest_node();
    const double before = node_[(i + nodes - 1) % nodes].h;
    const double after = node_[(i + 1) % nodes].h;
    const double bend = before - 2.0 * node_[i].h + after;
    return bend < 0.0 ? node_[i].h - (after - before) * (after - before) / (8.0 * bend) : node_[i].h;
}

TruthCurve TruthCurve::mean_with(const TruthCurve& other) const {
    TruthCurve half = *this;
    for (std::size_t i = 0; i < nodes; ++i) half.node_[i] = 0.5 * (node_[i] + other.node_[i]);
    return half;
}

}  // namespace lobewright
