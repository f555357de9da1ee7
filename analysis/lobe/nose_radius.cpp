#include "analysis/lobe/nose_radius.hpp"

#include <cmath>
#include <numbers>

#include "analysis/constants.hpp"

namespace lobewright {
namespace {

constexpr double radius_half_deg = 10.0;
constexpr double table_row_deg = 5.0;  // the usual spacing of a hand-taken table

}  // namespace

Measured nose_radius(const LobeView& view, const std::optional<double>& base_diameter_mm) {
    if (!base_diameter_mm) return {};
    const double half = radius_half_deg * grid_per_deg, middle = view.guide.half.middle();
    const auto mean = mean_weights(middle - half, middle + half);
    // The mean of h'' over the arc is the change of h' over its angle; h' by the central difference of one
    // grid step.
    const double per_rad = static_cast<double>(grid_points) / two_pi;
    const double scale = per_rad / (2.0 * rad_from_deg(radius_half_deg));
    std::vector<double> weights = mean;
    const auto add = [&](double position, double factor) {
        const auto point = point_weights(position);
        for (std::size_t g = 0; g < grid_points; ++g) weights[g] += factor * point[g];
    };
    add(middle + half + 0.5, scale);
    add(middle + half - 0.5, -scale);
    add(middle - half + 0.5, -scale);
    add(middle - half - 0.5, scale);
    const auto mix = view.geometry.mid();
    const auto lift = mixed(view.shape, mix);
    const double slopes = value_at(lift, middle + half + 0.5) - value_at(lift, middle + half - 0.5) -
                          value_at(lift, middle - half + 0.5) + value_at(lift, middle - half - 0.5);
    Influence influence;
    own_side(view, influence).add(mix, weights, 1.0);
    auto terms = view.all.terms(influence);
    // Between the rows of a table the slope at either end of the arc is known no better than the curve
    // itself.
    const double row_rad = rad_from_deg(table_row_deg);
    terms.table = 2.0 * std::numbers::sqrt2 * view.curve.interpolation_mm / row_rad /
                  (2.0 * rad_from_deg(radius_half_deg));
    const double radius = 0.5 * *base_diameter_mm + weighted_sum(mean, lift) + scale * slopes;
    return view.all.figure(view.reference_run ? "wear.nose_radius.reference" : "wear.nose_radius.used",
                           radius, terms);
}

}  // namespace lobewright
