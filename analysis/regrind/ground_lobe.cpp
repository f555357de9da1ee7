#include "analysis/regrind/ground_lobe.hpp"

#include <algorithm>
#include <cmath>

#include "analysis/lobe/grid.hpp"
#include "analysis/wear/wear_figures.hpp"
#include "analysis/wear/wear_nodes.hpp"

namespace lobewright {
namespace {

constexpr std::size_t draws = 80;
constexpr std::uint64_t seed = 0x10be;

Outline with_taper(Outline outline, double taper_mm) {
    for (double& v : outline.front_mm) v -= 0.5 * taper_mm;
    for (double& v : outline.rear_mm) v += 0.5 * taper_mm;
    return outline;
}

double slope_at(const std::vector<double>& curve, double position) {
    return (value_at(curve, position + 0.5) - value_at(curve, position - 0.5)) / rad_per_grid;
}

EdgeMix edge_mix(const LobeGeometry& geometry, Edge edge) {
    return edge == Edge::front ? geometry.front_edge() : geometry.rear_edge();
}

/// u95 of target less worn where the stock is decided.
double u95_there(const TargetLift& target, const LobeView& used, const GrindOrder& order,
                 const LeastStock& least) {
    Influence influence;
    for (const StockPlace& place : least.held) {
        if (place.share == 0.0) continue;
        const auto at = static_cast<double>(place.at);
        influence.used.add(edge_mix(used.geometry, place.edge), point_weights(at), -place.share);
        const double on_target = at - least.shift_rad / rad_per_grid;
        if (target.run != nullptr) {
            const EdgeMix mix =
                order.taper.kept ? edge_mix(target.geometry, place.edge) : target.geometry.mid();
            influence.reference.add(mix, point_weights(on_target), place.share);
        }
        if (least.at_bound && target.registered != nullptr) {
            add_phase(*target.registered, -place.share * slope_at(target.mid_mm, on_target), influence);
        }
    }
    const double u95 = used.all.figure("regrind.stock", least.stock_mm, influence).u95;
    const double heel =
        order.taper.kept || !order.heel_taper_mm.known() ? 0.0 : 0.5 * order.heel_taper_mm.u95;
    return std::hypot(u95, heel);
}

/// What noise adds to the largest of the difference; not positive.
double bias_of_largest(const TargetLift& target, const LobeView& used, const GrindOrder& order,
                       const Outline& proud) {
    auto mid = mixed(used.shape, used.geometry.mid());
    const NodeSource source{used.run,
                            target.run,
                            used.geometry,
                            target.geometry,
                            std::move(mid),
                            used.guide.peak.value,
                            order.indicator_sd_mm};
    return largest_wear(wear_nodes(source, {proud.front_mm, proud.rear_mm}, 0, grid_points), draws, seed)
        .correction_mm;
}

/// Smallest of lift + lift'' over 2 degrees either way, which keeps a measured target's noise down.
double least_radius(const std::vector<double>& lift) {
    constexpr std::size_t reach = 4;
    constexpr double step = reach * rad_per_grid;
    double least = 1e9;
    for (std::size_t g = 0; g < grid_points; ++g) {
        const double next = lift[(g + reach) % grid_points],
                     last = lift[(g + grid_points - reach) % grid_points];
        least = std::min(least, lift[g] + (next - 2.0 * lift[g] + last) / (step * step));
    }
    return least;
}

double largest(const Outline& outline) {
    return std::max(*std::max_element(outline.front_mm.begin(), outline.front_mm.end()),
                    *std::max_element(outline.rear_mm.begin(), outline.rear_mm.end()));
}

}  // namespace

GroundLobe grind(const TargetLift& target, const LobeView& used, const GrindOrder& order) {
    const TaperRestored& taper = order.taper;
    const double heel_taper =
        taper.kept || !order.heel_taper_mm.known() ? taper.taper_mm : order.heel_taper_mm.value;
    GroundLobe out;
    out.worn = with_taper(outline_of(used.shape, used.geometry), heel_taper);
    const Outline ground =
        with_taper(taper.kept ? target.edges : Outline{target.mid_mm, target.mid_mm}, taper.taper_mm);
    const LeastStock least = least_stock(out.worn, ground, order.range);
    out.target = turned(ground, least.shift_rad);
    const double bias = bias_of_largest(target, used, order, proud_of(out.target, out.worn));
    out.stock_mm = {std::max(0.0, least.stock_mm + bias), u95_there(target, used, order, least)};
    out.shift_rad = least.shift_rad;
    out.shift_at_bound = least.at_bound;
    out.at_deg = wrapped_deg(deg_of_grid(static_cast<double>(least.at)));
    out.edge = least.edge;
    out.centreline_deg = wrapped_deg(deg_of_grid(target.centreline + least.shift_rad / rad_per_grid));
    out.lift_mm = peak_of(target.mid_mm).value;
    out.new_surface_known = target.new_surface.has_value();
    const Outline above = target.new_surface ? with_taper(*target.new_surface, heel_taper) : out.worn;
    out.most_above_target_mm = std::max(0.0, largest(proud_of(above, out.target)));
    out.least_radius_mm = least_radius(target.mid_mm);
    return out;
}

std::vector<GrindRow> grind_table(const GroundLobe& lobe, double depth_mm, double step_deg) {
    std::vector<GrindRow> rows;
    const auto count = static_cast<std::size_t>(std::lround(360.0 / step_deg));
    for (std::size_t i = 0; i < count; ++i) {
        GrindRow row;
        row.angle_deg = static_cast<double>(i) * 360.0 / static_cast<double>(count);
        const double at = row.angle_deg * grid_per_deg;
        row.front_mm = value_at(lobe.target.front_mm, at);
        row.rear_mm = value_at(lobe.target.rear_mm, at);
        row.lift_mm = 0.5 * (row.front_mm + row.rear_mm);
        row.off_front_mm = value_at(lobe.worn.front_mm, at) - row.front_mm + depth_mm;
        row.off_rear_mm = value_at(lobe.worn.rear_mm, at) - row.rear_mm + depth_mm;
        rows.push_back(row);
    }
    return rows;
}

}  // namespace lobewright
