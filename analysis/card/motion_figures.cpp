#include "analysis/card/motion_figures.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "analysis/follower/follower_motion.hpp"
#include "analysis/units.hpp"

namespace lobewright {
namespace {

constexpr double table_row_rad = 5.0 * std::numbers::pi / 180.0;  // the usual spacing of a hand-taken table
constexpr double flattest_top_deg = 5.0;
// What a k-th derivative reads at one place hangs together over some 2 k degrees (follower_motion.hpp).
constexpr double shared_noise_deg = 2.0;

std::size_t wrapped(std::ptrdiff_t g) {
    const auto n = static_cast<std::ptrdiff_t>(grid_points);
    return static_cast<std::size_t>((g % n + n) % n);
}

/// A stretch of grid angles; may pass the end of the turn.
struct Stretch {
    std::ptrdiff_t from = 0;
    std::ptrdiff_t to = 0;  // included
};

Stretch stretch_of(double from, double to) {
    return {static_cast<std::ptrdiff_t>(std::ceil(from)), static_cast<std::ptrdiff_t>(std::floor(to))};
}

int order_of(Derivative which) {
    return which == Derivative::velocity ? 1 : which == Derivative::acceleration ? 2 : 3;
}

UncertaintyTerms terms_at(const LobeView& view, std::size_t g, Derivative which) {
    Influence influence;
    influence.used.add(view.geometry.mid(), motion_weights(grid_points, g, which), 1.0);
    auto terms = view.all.terms(influence);
    terms.table = view.curve.interpolation_mm * std::pow(std::numbers::pi / table_row_rad, order_of(which));
    return terms;
}

/// The largest of sign x curve on the stretch, its sign given back, noise's part taken off.
Measured largest(const LobeView& view, const std::vector<double>& curve, const Stretch& over, double sign,
                 Derivative which) {
    constexpr double reach = 4.0;
    std::ptrdiff_t top = over.from;
    for (std::ptrdiff_t g = over.from; g <= over.to; ++g) {
        if (sign * curve[wrapped(g)] > sign * curve[wrapped(top)]) top = g;
    }
    const double raw = sign * curve[wrapped(top)];
    const auto terms = terms_at(view, wrapped(top), which);
    const double scatters = std::hypot(terms.noise, terms.encoder);  // from place to place
    double sum = 0.0, squares = 0.0, count = 0.0;
    for (std::ptrdiff_t g = over.from; g <= over.to; ++g) {
        const double below = raw - sign * curve[wrapped(g)];
        if (below > reach * scatters) continue;
        sum += below;
        squares += below * below;
        count += 1.0;
    }
    const double mean = sum / count;
    const double scatter = squares / count - mean * mean;
    // Places nearer to each other than the derivative looks share their noise, which then explains no scatter.
    const double independent = std::max(1.0, count * deg_of_grid(1.0) / (shared_noise_deg * order_of(which)));
    const double feigned = scatters * scatters * (1.0 - 1.0 / independent);
    const double plateau = scatter > 0.0 ? std::min(1.0, feigned / scatter) : 1.0;
    return {sign * (raw - plateau * mean), terms.expanded()};
}

}  // namespace

TopPlace top_place(const LobeView& view) {
    const auto lift = mixed(view.shape, view.geometry.mid());
    const auto velocity = follower_motion(lift, Derivative::velocity);
    const auto around = static_cast<std::ptrdiff_t>(std::lround(view.own.peak.at));
    constexpr double unknown = std::numeric_limits<double>::quiet_NaN();
    TopPlace out{unknown, {}};
    double nearest = std::numeric_limits<double>::infinity();
    const auto search = stretch_of(view.own.high.opening, view.own.high.closing);
    for (std::ptrdiff_t g = search.from; g < search.to; ++g) {
        const double here = velocity[wrapped(g)], next = velocity[wrapped(g + 1)];
        if (!(here > 0.0 && next <= 0.0)) continue;
        const double at = static_cast<double>(g) + here / (here - next);
        if (std::abs(at - static_cast<double>(around)) >= nearest) continue;
        nearest = std::abs(at - static_cast<double>(around));
        out.position = at;
    }
    if (!std::isfinite(out.position)) return out;
    // An error of the velocity moves the place by itself over the acceleration, taken over two degrees either side.
    const auto g = static_cast<std::ptrdiff_t>(std::lround(out.position));
    const double bend = follower_motion(lift, Derivative::acceleration)[wrapped(g)];
    if (!(bend < 0.0)) return {unknown, {}};
    Influence influence;
    const double grid_per_rad = deg_from_rad(1.0) / deg_of_grid(1.0);
    influence.used.add(view.geometry.mid(), motion_weights(grid_points, wrapped(g), Derivative::velocity),
                       grid_per_rad / -bend);
    out.terms = view.all.terms(influence);
    if (deg_of_grid(out.terms.expanded()) >= flattest_top_deg) return {unknown, {}};
    return out;
}

MotionFigures motion_figures(const LobeView& view, const std::optional<double>& base_diameter_mm) {
    const auto lift = mixed(view.shape, view.geometry.mid());
    const auto arc = view.heel.arc();
    const auto opens = static_cast<std::ptrdiff_t>(arc.first + arc.count);
    const Stretch event{opens, opens + static_cast<std::ptrdiff_t>(grid_points - arc.count)};
    const auto velocity = follower_motion(lift, Derivative::velocity);
    const auto acceleration = follower_motion(lift, Derivative::acceleration);
    auto jerk = follower_motion(lift, Derivative::jerk);
    for (double& value : jerk) value = std::abs(value);
    MotionFigures out;
    out.opening_velocity = largest(view, velocity, event, 1.0, Derivative::velocity);
    out.closing_velocity = largest(view, velocity, event, -1.0, Derivative::velocity);
    out.closing_velocity.value *= -1.0;
    out.greatest_acceleration = largest(view, acceleration, event, 1.0, Derivative::acceleration);
    out.least_acceleration = largest(view, acceleration, event, -1.0, Derivative::acceleration);
    out.greatest_jerk = largest(view, jerk, event, 1.0, Derivative::jerk);
    if (base_diameter_mm && !view.curve.tip.follower_radius_mm) {
        auto radius = acceleration;
        for (std::size_t g = 0; g < grid_points; ++g) radius[g] += 0.5 * *base_diameter_mm + lift[g];
        const auto nose = stretch_of(view.own.half.opening, view.own.half.closing);
        out.least_radius_mm = largest(view, radius, nose, -1.0, Derivative::acceleration);
    }
    return out;
}

}  // namespace lobewright
