#include "analysis/wear/wear_figures.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "analysis/constants.hpp"
#include "analysis/lobe/grid.hpp"
#include "analysis/wear/extremes.hpp"
#include "analysis/wear/least_stock.hpp"

namespace lobewright {
namespace {

constexpr double deg_per_grid = 360.0 / static_cast<double>(grid_points);
constexpr std::size_t draws = 80;
constexpr std::uint64_t seed = 0x10be;

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

Measured edge_mean(const WearView& view, const char* name, bool front, const std::vector<double>& weights,
                   const std::vector<double>& wear) {
    Influence influence = wear_influence(view, front, weights, 1.0);
    add_phase(view.registered, phase_sensitivity(view, front, weights), influence);
    return view.used.all.figure(name, weighted_sum(weights, wear), influence);
}

/// Influence of a weighted sum of the mean wear of both edges.
Influence both_edges_influence(const WearView& view, const std::vector<double>& weights) {
    Influence influence = wear_influence(view, true, weights, 0.5);
    influence.add(wear_influence(view, false, weights, 0.5), 1.0);
    add_phase(view.registered,
              0.5 * (phase_sensitivity(view, true, weights) + phase_sensitivity(view, false, weights)),
              influence);
    return influence;
}

/// The grid positions of the lift event: all that isn't heel, as weights of an integral in grid steps.
std::vector<double> event_weights(const WearView& view) {
    std::vector<double> weights(grid_points, 0.0);
    for (std::size_t g = 0; g < grid_points; ++g)
        weights[g] = view.registered.heel.holds(g, grid_points) ? 0.0 : 1.0;
    return weights;
}

WearNodes nodes_of(const WearView& view, const WearMap& map) {
    const NodeSource source{
        view.used.run,
        &view.reference.run,
        view.used.geometry,
        view.reference_geometry,
        mixed(view.registered.used, view.used.geometry.mid()),
        view.registered.reference_marks.peak.value,
        std::hypot(view.indicator_limit_used_mm, view.indicator_limit_reference_mm) / std::sqrt(3.0)};
    const auto arc = view.registered.heel;
    return wear_nodes(source, map, arc.first + arc.count, grid_points - arc.count);
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

/// Positive wear over the event. Wear is one-sided: where the curve lies below nothing by no more than noise
/// explains, it counts with its sign, so that noise about zero doesn't add up; what lies further below is no
/// wear and counts nothing.
Measured area(const WearView& view, const WearMap& map, const std::vector<double>& event, double noise_mm) {
    std::vector<double> weights(grid_points, 0.0);
    double sum = 0.0;
    for (std::size_t g = 0; g < grid_points; ++g) {
        if (event[g] == 0.0) continue;
        weights[g] = deg_per_grid;
        for (const double wear : {map.front_mm[g], map.rear_mm[g]}) {
            if (wear > -3.0 * noise_mm) sum += 0.5 * deg_per_grid * wear;
        }
    }
    return view.used.all.figure("wear.area", std::max(sum, 0.0), both_edges_influence(view, weights));
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
    return view.used.all.figure("wear.volume", volume, both_edges_influence(view, weights));
}

}  // namespace

void add_phase(const Registered& registered, double per_rad, Influence& influence) {
    influence.add(registered.delta, per_rad);
}

WearMap wear_map(const WearView& view) {
    Outline lost = proud_of(outline_of(view.registered.reference, view.reference_geometry),
                            outline_of(view.registered.used, view.used.geometry));
    return {std::move(lost.front_mm), std::move(lost.rear_mm)};
}

double wear_u95_at(const WearView& view, Edge edge, double position) {
    const bool front = edge == Edge::front;
    const auto weights = point_weights(position);
    Influence influence = wear_influence(view, front, weights, 1.0);
    add_phase(view.registered, phase_sensitivity(view, front, weights), influence);
    return view.used.all.terms(influence).expanded();
}

WearResult wear_figures(const WearView& view, const WearMap& map,
                        const std::optional<double>& base_diameter_mm) {
    WearResult out;
    auto& f = out.figures;
    const double half = nose_half_deg / deg_per_grid, middle = view.registered.reference_marks.half.middle();
    const auto nose = mean_weights(middle - half, middle + half);
    f.front_nose_depth_mm = edge_mean(view, "wear.front_nose_depth", true, nose, map.front_mm);
    f.rear_nose_depth_mm = edge_mean(view, "wear.rear_nose_depth", false, nose, map.rear_mm);
    f.nose_depth_mm = view.used.all.figure(
        "wear.nose_depth", 0.5 * (weighted_sum(nose, map.front_mm) + weighted_sum(nose, map.rear_mm)),
        both_edges_influence(view, nose));

    const auto event = event_weights(view);
    const auto largest = largest_wear(nodes_of(view, map), draws, seed);
    const auto deepest = deepest_wear(map, event);
    f.at_deg = wrapped_deg(deg_of_grid(deepest.at));
    f.edge = deepest.front ? Edge::front : Edge::rear;
    const auto there = edge_mean(view, "wear.max_depth", deepest.front, point_weights(deepest.at),
                                 deepest.front ? map.front_mm : map.rear_mm);
    // The deepest place can't be less deep than the nose is on the mean.
    const double nose_depth = std::max(f.front_nose_depth_mm.value, f.rear_nose_depth_mm.value);
    f.max_depth_mm = {std::max({deepest.depth + largest.correction_mm, nose_depth, 0.0}), there.u95};
    f.area_mm_deg = area(view, map, event, largest.sd_mm);
    f.volume_mm3 = volume(view, map, event, base_diameter_mm);
    const LeastStock stock =
        least_stock(outline_of(view.registered.used, view.used.geometry),
                    outline_of(view.registered.reference, view.reference_geometry), stock_shift);
    // The reference is turned to where it needs least: what the phase is off by doesn't matter.
    Influence decides;
    for (const StockPlace& place : stock.held) {
        if (place.share == 0.0) continue;
        decides.add(wear_influence(view, place.edge == Edge::front,
                                   point_weights(static_cast<double>(place.at)), place.share),
                    1.0);
    }
    auto terms = view.used.all.terms(decides);
    // On a plateau the largest of many places scatters less than one of them.
    terms.noise *= largest.steadied;
    terms.encoder *= largest.steadied;
    out.stock_to_clean_mm = {std::max(stock.stock_mm + largest.correction_mm, 0.0), terms.expanded()};
    return out;
}

}  // namespace lobewright
