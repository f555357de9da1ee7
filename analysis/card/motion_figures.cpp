#include "analysis/card/motion_figures.hpp"

#include <cmath>

#include "analysis/card/greatest_derivative.hpp"

namespace lobewright {
namespace {

GridSpan span_of(double from, double to) {
    return {static_cast<std::ptrdiff_t>(std::ceil(from)), static_cast<std::ptrdiff_t>(std::floor(to))};
}

}  // namespace

MotionFigures motion_figures(const LobeView& view, const std::optional<double>& base_diameter_mm) {
    const auto lift = mixed(view.shape, view.geometry.mid());
    const auto arc = view.heel.arc();
    const auto opens = static_cast<std::ptrdiff_t>(arc.first + arc.count);
    const GridSpan event{opens, opens + static_cast<std::ptrdiff_t>(grid_points - arc.count)};
    const auto most = [&](Derivative which, double sign) {
        return greatest_derivative({view, lift, which, event, sign, nullptr});
    };
    MotionFigures out;
    out.opening_velocity = most(Derivative::velocity, 1.0);
    out.closing_velocity = most(Derivative::velocity, -1.0);
    out.closing_velocity.value *= -1.0;
    out.greatest_acceleration = most(Derivative::acceleration, 1.0);
    out.least_acceleration = most(Derivative::acceleration, -1.0);
    const auto rising = most(Derivative::jerk, 1.0), falling = most(Derivative::jerk, -1.0);
    out.greatest_jerk = rising.value >= -falling.value ? rising : Measured{-falling.value, falling.u95};
    if (base_diameter_mm && !view.curve.tip.follower_radius_mm) {
        auto from_axis = lift;
        for (double& radius : from_axis) radius += 0.5 * *base_diameter_mm;
        const auto nose = span_of(view.own.half.opening, view.own.half.closing);
        out.least_radius_mm =
            greatest_derivative({view, lift, Derivative::acceleration, nose, -1.0, &from_axis});
    }
    return out;
}

}  // namespace lobewright
