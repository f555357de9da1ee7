#include "analysis/wear/least_stock.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "analysis/lobe/grid.hpp"

namespace lobewright {
namespace {

// Over a few degrees the largest of many nearly straight lines has one minimum; the scan guards the rest. Half as many
// steps may miss a second valley, twice as many cost time only.
constexpr int scan_steps = 24;
constexpr double shift_beside_rad = 1e-5;  // past the search's end, short of the next places' turn to decide
constexpr double shift_end_rad = 2e-6;     // times a flank's slope of 10 mm/rad: 0.02 um

/// The curve `grid_steps` on: value_at of every place, whose cubic has the same weights everywhere.
std::vector<double> moved(const std::vector<double>& curve, double grid_steps) {
    const double base = std::floor(-grid_steps), u = -grid_steps - base;
    const std::array<double, 4> weight{-u * (u - 1.0) * (u - 2.0) / 6.0,
                                       (u + 1.0) * (u - 1.0) * (u - 2.0) / 2.0,
                                       -(u + 1.0) * u * (u - 2.0) / 2.0, (u + 1.0) * u * (u - 1.0) / 6.0};
    const std::size_t first = on_turn(static_cast<std::ptrdiff_t>(base) - 1);
    // One turn and the start of the next laid out in a row, which a processor takes several at a time.
    std::array<double, grid_points + 3> row{};
    for (std::size_t i = 0; i < row.size(); ++i) row[i] = curve[(first + i) % grid_points];
    std::vector<double> out(grid_points);
    for (std::size_t i = 0; i < grid_points; ++i)
        out[i] =
            weight[0] * row[i] + weight[1] * row[i + 1] + weight[2] * row[i + 2] + weight[3] * row[i + 3];
    return out;
}

LeastStock most_proud(const Outline& worn, const Outline& target, double shift_rad) {
    const Outline there = turned(target, shift_rad);
    LeastStock out;
    out.stock_mm = -1e9;
    out.shift_rad = shift_rad;
    for (std::size_t g = 0; g < grid_points; ++g) {
        const double front = there.front_mm[g] - worn.front_mm[g];
        const double rear = there.rear_mm[g] - worn.rear_mm[g];
        const double most = std::max(front, rear);
        if (most <= out.stock_mm) continue;
        out.stock_mm = most;
        out.at = g;
        out.edge = front >= rear ? Edge::front : Edge::rear;
    }
    return out;
}

/// How fast what a place asks for grows with the shift, mm/rad.
double growth(const Outline& target, const LeastStock& place) {
    const auto& curve = place.edge == Edge::front ? target.front_mm : target.rear_mm;
    const double at = static_cast<double>(place.at) - place.shift_rad / rad_per_grid;
    return (value_at(curve, at - 0.5) - value_at(curve, at + 0.5)) / rad_per_grid;
}

/// The places that decide on either side of the least.
std::array<StockPlace, 2> places_held(const Outline& worn, const Outline& target, const LeastStock& best) {
    const auto below = most_proud(worn, target, best.shift_rad - shift_beside_rad);
    const auto above = most_proud(worn, target, best.shift_rad + shift_beside_rad);
    const double falls = -growth(target, below), rises = growth(target, above);
    if (best.at_bound || !(falls > 0.0 && rises > 0.0)) return {{{best.at, best.edge, 1.0}, {}}};
    return {
        {{below.at, below.edge, rises / (falls + rises)}, {above.at, above.edge, falls / (falls + rises)}}};
}

}  // namespace

Outline outline_of(const LobeOnGrid& shape, const LobeGeometry& geometry) {
    return {mixed(shape, geometry.front_edge()), mixed(shape, geometry.rear_edge())};
}

LeastStock least_stock(const Outline& worn, const Outline& target, ShiftRange range) {
    const double step = (range.high_rad - range.low_rad) / scan_steps;
    LeastStock best = most_proud(worn, target, range.low_rad);
    for (int i = 1; i <= scan_steps; ++i) {
        const auto here = most_proud(worn, target, range.low_rad + i * step);
        if (here.stock_mm < best.stock_mm) best = here;
    }
    double low = std::max(range.low_rad, best.shift_rad - step);
    double high = std::min(range.high_rad, best.shift_rad + step);
    while (high - low > shift_end_rad) {
        const double a = low + (high - low) / 3.0, b = high - (high - low) / 3.0;
        const auto at_a = most_proud(worn, target, a), at_b = most_proud(worn, target, b);
        for (const auto& here : {at_a, at_b}) {
            if (here.stock_mm < best.stock_mm) best = here;
        }
        (at_a.stock_mm <= at_b.stock_mm ? high : low) = at_a.stock_mm <= at_b.stock_mm ? b : a;
    }
    best.at_bound = best.shift_rad - range.low_rad < 10.0 * shift_end_rad ||
                    range.high_rad - best.shift_rad < 10.0 * shift_end_rad;
    best.held = places_held(worn, target, best);
    return best;
}

Outline turned(const Outline& outline, double shift_rad) {
    const double steps = shift_rad / rad_per_grid;
    return {moved(outline.front_mm, steps), moved(outline.rear_mm, steps)};
}

Outline proud_of(const Outline& target, const Outline& worn) {
    Outline out = target;
    for (std::size_t g = 0; g < grid_points; ++g) {
        out.front_mm[g] -= worn.front_mm[g];
        out.rear_mm[g] -= worn.rear_mm[g];
    }
    return out;
}

}  // namespace lobewright
