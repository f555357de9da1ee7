#include "analysis/card/motion_figures.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "analysis/follower/follower_motion.hpp"
#include "analysis/units.hpp"

namespace lobewright {
namespace {

constexpr double table_row_rad = 5.0 * std::numbers::pi / 180.0;  // the usual spacing of a hand-taken table
// What a k-th derivative reads at one place hangs together over some 2 k degrees (follower_motion.hpp).
constexpr double shared_noise_deg = 2.0;
constexpr double parabola_top = 1.25;  // its top's height above its mean, squared, over its variance

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

UncertaintyTerms terms_of(const LobeView& view, const std::vector<double>& weights, Derivative which,
                          double shape_variance = 0.0) {
    Influence influence;
    influence.used.add(view.geometry.mid(), weights, 1.0);
    influence.shape_variance = shape_variance;
    auto terms = view.all.terms(influence);
    terms.table = view.curve.interpolation_mm * std::pow(std::numbers::pi / table_row_rad, order_of(which));
    return terms;
}

/// Where a curve is largest, as far as its noise lets that be told.
struct Plateau {
    std::size_t top = 0;
    std::vector<std::size_t> places;  // within reach of the top, which is one of them
    double share = 0.0;  // of what they scatter that noise explains: 1, the top is no more than any of them
    double mean_below = 0.0;       // how far they lie below the top on the mean
    double hidden_variance = 0.0;  // how far the top may stand above the mean unseen, squared
};

/// Of sign x curve on the stretch.
Plateau plateau_of(const LobeView& view, const std::vector<double>& curve, const Stretch& over, double sign,
                   Derivative which) {
    constexpr double reach = 4.0;
    std::ptrdiff_t top = over.from;
    for (std::ptrdiff_t g = over.from; g <= over.to; ++g) {
        if (sign * curve[on_turn(g)] > sign * curve[on_turn(top)]) top = g;
    }
    Plateau out;
    out.top = on_turn(top);
    const auto terms = terms_of(view, motion_weights(grid_points, out.top, which), which);
    const double scatters = std::hypot(terms.noise, terms.encoder);  // from place to place
    double sum = 0.0, squares = 0.0;
    for (std::ptrdiff_t g = over.from; g <= over.to; ++g) {
        const double below = sign * (curve[out.top] - curve[on_turn(g)]);
        if (below > reach * scatters) continue;
        out.places.push_back(on_turn(g));
        sum += below;
        squares += below * below;
    }
    const auto count = static_cast<double>(out.places.size());
    out.mean_below = sum / count;
    const double scatter = squares / count - out.mean_below * out.mean_below;
    // Places nearer to each other than the derivative looks share their noise, which then explains no scatter.
    const double independent = std::max(1.0, count * deg_of_grid(1.0) / (shared_noise_deg * order_of(which)));
    const double feigned = scatters * scatters * (1.0 - 1.0 / independent);
    out.share = scatter > 0.0 ? std::min(1.0, feigned / scatter) : 1.0;
    // The scatter of n places is known to 2/(n - 1) of its square; as much of it may be the lobe's.
    out.hidden_variance = parabola_top * feigned * std::sqrt(2.0 / std::max(independent - 1.0, 1.0));
    return out;
}

/// The largest of sign x curve on the stretch, its sign given back: between the top's own value and the mean of its plateau.
/// Its u95 is of that very sum.
Measured largest(const LobeView& view, const std::vector<double>& curve, const Stretch& over, double sign,
                 Derivative which) {
    const Plateau plateau = plateau_of(view, curve, over, sign, which);
    auto weights = motion_weights(grid_points, plateau.top, which);
    for (double& weight : weights) weight *= 1.0 - plateau.share;
    const double each = plateau.share / static_cast<double>(plateau.places.size());
    for (const std::size_t place : plateau.places) add_motion_weights(weights, place, which, each);
    return {curve[plateau.top] - sign * plateau.share * plateau.mean_below,
            terms_of(view, weights, which, plateau.share * plateau.hidden_variance).expanded()};
}

}  // namespace

MotionFigures motion_figures(const LobeView& view, const std::optional<double>& base_diameter_mm) {
    const auto lift = mixed(view.shape, view.geometry.mid());
    const auto arc = view.heel.arc();
    const auto opens = static_cast<std::ptrdiff_t>(arc.first + arc.count);
    const Stretch event{opens, opens + static_cast<std::ptrdiff_t>(grid_points - arc.count)};
    const auto velocity = follower_motion(lift, Derivative::velocity);
    const auto acceleration = follower_motion(lift, Derivative::acceleration);
    const auto jerk = follower_motion(lift, Derivative::jerk);
    MotionFigures out;
    out.opening_velocity = largest(view, velocity, event, 1.0, Derivative::velocity);
    out.closing_velocity = largest(view, velocity, event, -1.0, Derivative::velocity);
    out.closing_velocity.value *= -1.0;
    out.greatest_acceleration = largest(view, acceleration, event, 1.0, Derivative::acceleration);
    out.least_acceleration = largest(view, acceleration, event, -1.0, Derivative::acceleration);
    const auto rising = largest(view, jerk, event, 1.0, Derivative::jerk),
               falling = largest(view, jerk, event, -1.0, Derivative::jerk);
    out.greatest_jerk = rising.value >= -falling.value ? rising : Measured{-falling.value, falling.u95};
    if (base_diameter_mm && !view.curve.tip.follower_radius_mm) {
        auto radius = acceleration;
        for (std::size_t g = 0; g < grid_points; ++g) radius[g] += 0.5 * *base_diameter_mm + lift[g];
        const auto nose = stretch_of(view.own.half.opening, view.own.half.closing);
        out.least_radius_mm = largest(view, radius, nose, -1.0, Derivative::acceleration);
    }
    return out;
}

}  // namespace lobewright
