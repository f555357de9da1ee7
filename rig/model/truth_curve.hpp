// truth_curve.hpp: a closed-form curve round the cam, tabulated densely: the working paper of truth.cpp.
#pragma once

#include <cstddef>
#include <vector>

#include "rig/model/support.hpp"

namespace lobewright {

/// An arc of cam angle, rad, from < to.
struct TruthArc {
    double from_rad = 0.0;
    double to_rad = 0.0;

    [[nodiscard]] double length_rad() const { return to_rad - from_rad; }
};

/// The least-squares once-per-turn part on an arc: c0 + a cos + b sin.
struct OncePerTurn {
    double c0 = 0.0;
    double a = 0.0;
    double b = 0.0;

    [[nodiscard]] double at(double rad) const;
};

/// f at 401 equal steps of an arc, both ends included: 0.5 degrees on a heel,
/// fine for what waves a few times a turn.
template <class F>
std::vector<double> values_over(const TruthArc& arc, const F& f) {
    constexpr int steps = 400;
    std::vector<double> values;
    values.reserve(steps + 1);
    for (int i = 0; i <= steps; ++i) values.push_back(f(arc.from_rad + arc.length_rad() * i / steps));
    return values;
}

/// The once-per-turn part of values at equal steps of an arc, both ends included (they count half: the
/// integral's least squares, as any even sampling of the arc approaches it).
OncePerTurn once_per_turn(const TruthArc& arc, const std::vector<double>& values);

/// Largest less smallest.
double span(const std::vector<double>& values);

/// Values with slope and second derivative at 3600 equal steps of a turn. Between them: value and slope by
/// cubic Hermite, the second derivative by a straight line.
class TruthCurve {
public:
    static constexpr std::size_t nodes = 3600;

    template <class SupportAt>
    explicit TruthCurve(const SupportAt& support_at) : node_(nodes) {
        for (std::size_t i = 0; i < nodes; ++i) node_[i] = support_at(angle_rad(i));
    }

    static double angle_rad(std::size_t i);

    [[nodiscard]] const Support& node(std::size_t i) const { return node_[i]; }
    [[nodiscard]] Support at(double rad) const;

    /// The curve less a once-per-turn part.
    [[nodiscard]] TruthCurve less(const OncePerTurn& part) const;

    /// Largest value and where: the highest node, made finer by the parabola through its neighbours.
    [[nodiscard]] double largest() const;
    [[nodiscard]] std::size_t largest_node() const;

    /// Half the sum with another curve.
    [[nodiscard]] TruthCurve mean_with(const TruthCurve& other) const;

private:
    std::vector<Support> node_;
};

/// Mean of f over an arc, by the trapezium rule.
template <class F>
double mean_over(const TruthArc& arc, const F& f) {
    constexpr int steps = 200;
    double sum = 0.5 * (f(arc.from_rad) + f(arc.to_rad));
    for (int i = 1; i < steps; ++i) sum += f(arc.from_rad + arc.length_rad() * i / steps);
    return sum / steps;
}

}  // namespace lobewright
