#include "analysis/lobe/nose_radius.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "analysis/constants.hpp"
#include "analysis/lobe/local_polynomial.hpp"

namespace lobewright {
namespace {

constexpr double radius_half_deg = 10.0;
constexpr double table_row_deg = 5.0;  // the usual spacing of a hand-taken table

// The slope at either end of the arc: a cubic over six degrees either side. Narrower ones let more noise through; noses as
// they are ground bend evenly enough for one so wide (lobewright_coverage).
constexpr int slope_degree = 3;
constexpr std::size_t slope_half = 12;
// Standard deviations that it may lie off the slope over one grid step. Further off, it is a corner that it can't follow.
constexpr double same_slope = 2.5;

/// The mean of h'' over the arc is the change of h' over its angle.
constexpr double mean_bend_per_slope =
    (static_cast<double>(grid_points) / two_pi) / (2.0 * radius_half_deg * std::numbers::pi / 180.0);

void add_scaled(std::vector<double>& to, const std::vector<double>& weights, double factor) {
    for (std::size_t g = 0; g < grid_points; ++g) to[g] += factor * weights[g];
}

struct RadiusWeights {
    std::vector<double> smooth;  // slopes by a cubic
    std::vector<double> sharp;   // slopes over one grid step
};

/// On the lift: what the mean radius is larger by than the base circle's.
RadiusWeights radius_weights(double middle) {
    const double half = radius_half_deg * grid_per_deg;
    const auto mean = mean_weights(middle - half, middle + half);
    RadiusWeights out{mean, mean};
    for (const double way : {-1.0, 1.0}) {
        const double end = middle + way * half, factor = way * mean_bend_per_slope;
        add_scaled(out.smooth, local_slope_weights(grid_points, end, slope_half, slope_degree), factor);
        add_scaled(out.sharp, point_weights(end + 0.5), factor);
        add_scaled(out.sharp, point_weights(end - 0.5), -factor);
    }
    return out;
}

Influence influence_of(const LobeView& view, const std::vector<double>& weights) {
    Influence out;
    own_side(view, out).add(view.geometry.mid(), weights, 1.0);
    return out;
}

struct BendResult {
    double value_mm = 0.0;
    Influence influence;
};

BendResult bend_of(const LobeView& view) {
    const auto weights = radius_weights(view.guide.half.middle());
    const auto lift = mixed(view.shape, view.geometry.mid());
    std::vector<double> apart = weights.smooth;
    add_scaled(apart, weights.sharp, -1.0);
    const auto noise = view.all.terms(influence_of(view, apart));
    const double off = weighted_sum(apart, lift);
    const double noise_variance = noise.noise * noise.noise + noise.encoder * noise.encoder;
    if (off * off > same_slope * same_slope * noise_variance)
        return {weighted_sum(weights.sharp, lift), influence_of(view, weights.sharp)};
    BendResult out{weighted_sum(weights.smooth, lift), influence_of(view, weights.smooth)};
    out.value_mm += view.run.smoothing_taken(own_side(view, out.influence));
    out.influence.freed_of_smoothing = true;
    out.influence.shape_variance = std::max(off * off - noise_variance, 0.0);
    return out;
}

}  // namespace

Measured nose_radius(const LobeView& view, const std::optional<double>& base_diameter_mm) {
    if (!base_diameter_mm) return {};
    const BendResult bend = bend_of(view);
    auto terms = view.all.terms(bend.influence);
    // Between the rows of a table the slope at either end of the arc is known no better than the curve
    // itself.
    const double row_rad = rad_from_deg(table_row_deg);
    terms.table = 2.0 * std::numbers::sqrt2 * view.curve.interpolation_mm / row_rad /
                  (2.0 * rad_from_deg(radius_half_deg));
    return view.all.figure(view.reference_run ? "wear.nose_radius.reference" : "wear.nose_radius.used",
                           0.5 * *base_diameter_mm + bend.value_mm, terms);
}

}  // namespace lobewright
