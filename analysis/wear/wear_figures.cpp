#include "analysis/wear/wear_figures.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "analysis/wear/extremes.hpp"

namespace lobewright {
namespace {

constexpr double two_pi = 2.0 * std::numbers::pi;
constexpr double rad_per_grid = two_pi / static_cast<double>(grid_points);
constexpr double deg_per_grid = 360.0 / static_cast<double>(grid_points);
constexpr double nose_half_deg = 2.0;
constexpr std::size_t node_stride =
    6;  // 3 degrees: about the reach of the smoothing, so that noise is independent
constexpr std::size_t draws = 80;
constexpr std::uint64_t seed = 0x10be;
constexpr double stock_shift_deg = 2.0;

struct Edge2 {
    EdgeMix used;
    EdgeMix reference;
};

Edge2 edge_mixes(const WearView& view, bool front) {
    return front ? Edge2{view.used.geometry.front_edge(), view.reference_geometry.front_edge()}
                 : Edge2{view.used.geometry.rear_edge(), view.reference_geometry.rear_edge()};
}

/// Influence of a weighted sum of the wear at one edge, without the phase.
Influence wear_influence(const WearView& view, bool front, const std::vector<double>& weights,
                         double factor) {
    const auto mix = edge_mixes(view, front);
    Influence influence;
    influence.reference.add(mix.reference, weights, factor);
    influence.used.add(mix.used, weights, -factor);
    return influence;
}

std::vector<double> reference_slope(const WearView& view, EdgeMix mix) {
    const auto r = mixed(view.registered.reference, mix);
    std::vector<double> slope(grid_points);
    for (std::size_t g = 0; g < grid_points; ++g) {
        slope[g] = (r[(g + 1) % grid_points] - r[(g + grid_points - 1) % grid_points]) / (2.0 * rad_per_grid);
    }
    return slope;
}

/// Wear falls by s for each radian that the reference is moved on: d wear / d delta = -R'(theta - delta).
double phase_sensitivity(const WearView& view, bool front, const std::vector<double>& weights) {
    return -weighted_sum(weights, reference_slope(view, edge_mixes(view, front).reference));
}

Measured edge_mean(const WearView& view, bool front, const std::vector<double>& weights,
                   const std::vector<double>& wear) {
    Influence influence = wear_influence(view, front, weights, 1.0);
    add_phase(view.registered, phase_sensitivity(view, front, weights), influence);
    return view.used.all.figure(weighted_sum(weights, wear), influence);
}

Measured both_edges_mean(const WearView& view, const std::vector<double>& weights, const WearMap& map) {
    Influence influence = wear_influence(view, true, weights, 0.5);
    influence.add(wear_influence(view, false, weights, 0.5), 1.0);
    add_phase(view.registered,
              0.5 * (phase_sensitivity(view, true, weights) + phase_sensitivity(view, false, weights)),
              influence);
    return view.used.all.figure(
        0.5 * (weighted_sum(weights, map.front_mm) + weighted_sum(weights, map.rear_mm)), influence);
}

/// The grid positions of the lift event: all that isn't heel, as weights of an integral in grid steps.
std::vector<double> event_weights(const WearView& view) {
    std::vector<double> weights(grid_points, 0.0);
    for (std::size_t g = 0; g < grid_points; ++g)
        weights[g] = view.registered.heel.holds(g, grid_points) ? 0.0 : 1.0;
    return weights;
}

WearNodes nodes_of(const WearView& view, const WearMap& map) {
    WearNodes nodes;
    const auto mid = mixed(view.registered.used, view.used.geometry.mid());
    std::array<std::vector<double>, 2> noise;
    for (std::size_t e = 0; e < 2; ++e) {
        const auto mix = edge_mixes(view, e == 0);
        const auto used = view.used.run.noise_on_grid(mix.used);
        const auto reference = view.reference.run.noise_on_grid(mix.reference);
        noise[e].resize(grid_points);
        for (std::size_t g = 0; g < grid_points; ++g) noise[e][g] = std::hypot(used[g], reference[g]);
    }
    const auto arc = view.registered.heel;
    for (std::size_t i = arc.count; i < grid_points; i += node_stride) {
        const std::size_t g = (arc.first + i) % grid_points;
        nodes.step_deg.push_back(static_cast<double>(std::min(node_stride, grid_points - i)) * deg_per_grid);
        nodes.reading_mm.push_back(std::max(mid[g], 0.0));
        nodes.wear_mm[0].push_back(map.front_mm[g]);
        nodes.wear_mm[1].push_back(map.rear_mm[g]);
        for (std::size_t e = 0; e < 2; ++e) nodes.noise_mm[e].push_back(noise[e][g]);
    }
    const auto front = edge_mixes(view, true).used, rear = edge_mixes(view, false).used;
    nodes.front_mix = {front.front, front.rear};
    nodes.rear_mix = {rear.front, rear.rear};
    nodes.indicator_sd_mm =
        std::hypot(view.indicator_limit_used_mm, view.indicator_limit_reference_mm) / std::sqrt(3.0);
    nodes.correlation_mm = 0.25 * std::max(view.registered.reference_marks.peak.value, 0.1);
    return nodes;
}

struct Deepest {
    double depth = 0.0;
    double at = 0.0;
    bool front = true;
};

Deepest deepest_wear(const WearMap& map, const std::vector<double>& event) {
    Deepest out;
    bool any = false;
    for (const bool front : {true, false}) {
        const auto& wear = front ? map.front_mm : map.rear_mm;
        for (std::size_t g = 0; g < grid_points; ++g) {
            if (event[g] == 0.0 || (any && wear[g] <= out.depth)) continue;
            out = {wear[g], static_cast<double>(g), front};
            any = true;
        }
    }
    return out;
}

/// A figure that noise can only raise, put right by its bias and kept from falling below nothing.
Measured put_right(double value, double bias, double sd, double other_u95) {
    constexpr double normal = 1.959963984540054;
    // Half the bias is counted as not known: the curve that was resampled held one helping of noise already.
    const double u95 = std::hypot(normal * std::hypot(sd, 0.5 * bias), other_u95);
    return {std::max(value - bias, 0.0), u95};
}

Measured volume(const WearView& view, const WearMap& map, const std::vector<double>& event,
                const std::optional<double>& base_diameter_mm) {
    if (!base_diameter_mm) return {};
    const auto used = mixed(view.registered.used, view.used.geometry.mid());
    const auto reference = mixed(view.registered.reference, view.reference_geometry.mid());
    std::vector<double> weights(grid_points, 0.0);
    double volume = 0.0;
    const double per_rad2 = 1.0 / (rad_per_grid * rad_per_grid);
    for (std::size_t g = 0; g < grid_points; ++g) {
        if (event[g] == 0.0) continue;
        const std::size_t next = (g + 1) % grid_points, last = (g + grid_points - 1) % grid_points;
        const double mean = 0.5 * (used[g] + reference[g]);
        const double bend = 0.5 * per_rad2 *
                            (used[next] - 2.0 * used[g] + used[last] + reference[next] - 2.0 * reference[g] +
                             reference[last]);
        weights[g] = (0.5 * *base_diameter_mm + mean + bend) * rad_per_grid * view.used.geometry.width_mm;
        volume += weights[g] * 0.5 * (map.front_mm[g] + map.rear_mm[g]);
    }
    auto figure = both_edges_mean(view, weights, map);
    figure.value = volume;
    return figure;
}

}  // namespace

void add_phase(const Registered& registered, double per_rad, Influence& influence) {
    influence.add(registered.delta, per_rad);
}

WearMap wear_map(const WearView& view) {
    WearMap map;
    for (const bool front : {true, false}) {
        const auto mix = edge_mixes(view, front);
        const auto used = mixed(view.registered.used, mix.used);
        auto wear = mixed(view.registered.reference, mix.reference);
        for (std::size_t g = 0; g < grid_points; ++g) wear[g] -= used[g];
        (front ? map.front_mm : map.rear_mm) = std::move(wear);
    }
    return map;
}

double stock_to_clean(const WearMap& map, const std::vector<double>& reference_mid_lift_mm) {
    std::vector<double> slope(grid_points), bend(grid_points);
    for (std::size_t g = 0; g < grid_points; ++g) {
        const double next = reference_mid_lift_mm[(g + 1) % grid_points];
        const double last = reference_mid_lift_mm[(g + grid_points - 1) % grid_points];
        slope[g] = (next - last) / (2.0 * rad_per_grid);
        bend[g] = (next - 2.0 * reference_mid_lift_mm[g] + last) / (rad_per_grid * rad_per_grid);
    }
    const auto proud = [&](double shift) {
        double most = 0.0;
        for (std::size_t g = 0; g < grid_points; ++g) {
            const double moved = -shift * slope[g] + 0.5 * shift * shift * bend[g];
            most = std::max(most, std::max(map.front_mm[g], map.rear_mm[g]) + moved);
        }
        return most;
    };
    // The largest of many nearly straight lines in the shift: one minimum.
    double low = -rad_from_deg(stock_shift_deg), high = -low;
    while (high - low > 1e-6) {
        const double a = low + (high - low) / 3.0, b = high - (high - low) / 3.0;
        if (proud(a) <= proud(b)) {
            high = b;
        } else {
            low = a;
        }
    }
    return std::min(proud(0.5 * (low + high)), proud(0.0));
}

WearResult wear_figures(const WearView& view, const WearMap& map,
                        const std::optional<double>& base_diameter_mm) {
    WearResult out;
    auto& f = out.figures;
    const double half = nose_half_deg / deg_per_grid, middle = view.registered.reference_marks.half.middle();
    const auto nose = mean_weights(middle - half, middle + half);
    f.front_nose_depth_mm = edge_mean(view, true, nose, map.front_mm);
    f.rear_nose_depth_mm = edge_mean(view, false, nose, map.rear_mm);
    f.nose_depth_mm = both_edges_mean(view, nose, map);

    const auto event = event_weights(view);
    const auto spread = extreme_spread(nodes_of(view, map), draws, seed);
    const auto deepest = deepest_wear(map, event);
    f.at_deg = wrapped_deg(deg_of_grid(deepest.at));
    f.edge = deepest.front ? Edge::front : Edge::rear;
    const auto at_deepest = point_weights(deepest.at);
    const double phase_u95 = view.used.all.terms(view.registered.delta).expanded();
    const double slope_there = std::abs(phase_sensitivity(view, deepest.front, at_deepest));
    f.max_depth_mm = put_right(deepest.depth, spread.max_bias_mm, spread.max_sd_mm, slope_there * phase_u95);
    double area = 0.0;
    for (std::size_t g = 0; g < grid_points; ++g) {
        if (event[g] > 0.0)
            area += 0.5 * deg_per_grid * (std::max(map.front_mm[g], 0.0) + std::max(map.rear_mm[g], 0.0));
    }
    f.area_mm_deg = put_right(area, spread.area_bias_mm_deg, spread.area_sd_mm_deg, 0.0);
    f.volume_mm3 = volume(view, map, event, base_diameter_mm);
    const double stock = stock_to_clean(map, mixed(view.registered.reference, view.reference_geometry.mid()));
    out.stock_to_clean_mm = put_right(stock, spread.max_bias_mm, spread.max_sd_mm, 0.0);
    return out;
}

}  // namespace lobewright
