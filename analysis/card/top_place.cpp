#include "analysis/card/top_place.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "analysis/follower/follower_motion.hpp"
#include "analysis/lobe/grid.hpp"
#include "analysis/lobe/local_polynomial.hpp"
#include "analysis/units.hpp"

namespace lobewright {
namespace {

constexpr double flattest_top_deg = 5.0;
constexpr int slope_degree = 3;
constexpr std::size_t slope_half = 12;  // six degrees
// Standard deviations that the cubic's slope may lie off the neighbours'.
constexpr double same_slope = 2.5;
constexpr double unknown = std::numeric_limits<double>::quiet_NaN();
constexpr double grid_per_rad = deg_from_rad(1.0) / deg_of_grid(1.0);

/// Where the velocity passes zero on its way down, nearest the greatest lift.
double crossing_of(const LobeView& view, const std::vector<double>& velocity) {
    const auto from = static_cast<std::ptrdiff_t>(std::ceil(view.own.high.opening)),
               to = static_cast<std::ptrdiff_t>(std::floor(view.own.high.closing));
    const double around = std::round(view.own.peak.at);
    double found = unknown, nearest = std::numeric_limits<double>::infinity();
    for (std::ptrdiff_t g = from; g < to; ++g) {
        const double here = velocity[on_turn(g)], next = velocity[on_turn(g + 1)];
        if (!(here > 0.0 && next <= 0.0)) continue;
        const double at = static_cast<double>(g) + here / (here - next);
        if (std::abs(at - around) >= nearest) continue;
        nearest = std::abs(at - around);
        found = at;
    }
    return found;
}

Influence influence_of(const LobeView& view, const std::vector<double>& weights, double factor) {
    Influence out;
    out.used.add(view.geometry.mid(), weights, factor);
    return out;
}

}  // namespace

TopPlace top_place(const LobeView& view) {
    const auto lift = mixed(view.shape, view.geometry.mid());
    TopPlace out{crossing_of(view, follower_motion(lift, Derivative::velocity)), {}};
    if (!std::isfinite(out.position)) return out;
    // An error of the velocity moves the place by itself over the acceleration, taken over two degrees either side.
    const std::size_t g = on_turn(std::lround(out.position));
    const double bend = follower_motion(lift, Derivative::acceleration)[g];
    if (!(bend < 0.0)) return {unknown, {}};
    const double per_velocity = grid_per_rad / -bend, per_slope = per_velocity * grid_per_rad;

    const auto sharp = motion_weights(grid_points, g, Derivative::velocity);
    const auto smooth = local_slope_weights(grid_points, out.position, slope_half, slope_degree);
    const double moved = per_slope * weighted_sum(smooth, lift);
    Influence apart = influence_of(view, smooth, per_slope);
    apart.add(influence_of(view, sharp, per_velocity), -1.0);
    const auto noise = view.all.terms(apart);
    const double noise_variance = noise.noise * noise.noise + noise.encoder * noise.encoder;
    if (moved * moved > same_slope * same_slope * noise_variance) {
        out.terms = view.all.terms(influence_of(view, sharp, per_velocity));
    } else {
        Influence influence = influence_of(view, smooth, per_slope);
        out.position += moved + view.run.smoothing_taken(influence.used);
        influence.freed_of_smoothing = true;
        influence.shape_variance = std::max(moved * moved - noise_variance, 0.0);
        out.terms = view.all.terms(influence);
    }
    if (deg_of_grid(out.terms.expanded()) >= flattest_top_deg) return {unknown, {}};
    return out;
}

}  // namespace lobewright
