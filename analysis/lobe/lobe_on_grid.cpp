#include "analysis/lobe/lobe_on_grid.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace lobewright {
namespace {

constexpr auto n = static_cast<std::ptrdiff_t>(grid_points);

std::size_t wrapped(std::ptrdiff_t g) {
    return static_cast<std::size_t>(((g % n) + n) % n);
}

}  // namespace

LobeOnGrid lobe_on_grid(const LobeCurve& curve, double offset_rad, const SinusoidFit& heel) {
    LobeOnGrid shape;
    shape.front_reading = on_grid(curve.front, -offset_rad);
    shape.rear_reading = on_grid(curve.rear, -offset_rad);
    shape.front_circle = heel.fit(shape.front_reading);
    shape.rear_circle = heel.fit(shape.rear_reading);
    shape.front = shape.front_reading;
    shape.rear = shape.rear_reading;
    heel.remove(shape.front);
    heel.remove(shape.rear);
    return shape;
}

std::vector<double> mixed(const LobeOnGrid& shape, EdgeMix mix) {
    std::vector<double> out(grid_points);
    for (std::size_t g = 0; g < grid_points; ++g)
        out[g] = mix.front * shape.front[g] + mix.rear * shape.rear[g];
    return out;
}

Peak peak_of(std::span<const double> curve) {
    const auto top = std::max_element(curve.begin(), curve.end()) - curve.begin();
    const double before = curve[wrapped(top - 1)], at = curve[wrapped(top)], after = curve[wrapped(top + 1)];
    const double bend = before - 2.0 * at + after;
    if (!(bend < 0.0)) return {static_cast<double>(top), at};
    const double shift = std::clamp(0.5 * (before - after) / bend, -0.5, 0.5);
    return {static_cast<double>(top) + shift, at - 0.25 * (before - after) * shift};
}

double value_at(std::span<const double> curve, double position) {
    const double base = std::floor(position);
    const auto g = static_cast<std::ptrdiff_t>(base);
    const double u = position - base;
    const double y0 = curve[wrapped(g - 1)], y1 = curve[wrapped(g)], y2 = curve[wrapped(g + 1)],
                 y3 = curve[wrapped(g + 2)];
    return y0 * (-u * (u - 1.0) * (u - 2.0) / 6.0) + y1 * ((u + 1.0) * (u - 1.0) * (u - 2.0) / 2.0) +
           y2 * (-(u + 1.0) * u * (u - 2.0) / 2.0) + y3 * ((u + 1.0) * u * (u - 1.0) / 6.0);
}

namespace {

/// From the peak in direction `way` (+1 or -1) to the first grid interval that holds the level; refined on
/// the cubic.
double walk_down(std::span<const double> curve, double peak_at, double level, int way) {
    auto g = static_cast<std::ptrdiff_t>(std::lround(peak_at));
    for (std::ptrdiff_t step = 0; step < n / 2; ++step, g += way) {
        const double here = curve[wrapped(g)], next = curve[wrapped(g + way)];
        if (here < level || next > level) continue;
        double low = 0.0, high = 1.0;
        for (int i = 0; i < 40; ++i) {
            const double half = 0.5 * (low + high);
            const double value = value_at(curve, static_cast<double>(g) + way * half);
            (value >= level ? low : high) = half;
        }
        return static_cast<double>(g) + way * 0.5 * (low + high);
    }
    throw std::domain_error("the curve doesn't come down to the level on either side of its peak");
}

double slope_at(std::span<const double> curve, double position) {
    return value_at(curve, position + 0.5) - value_at(curve, position - 0.5);
}

}  // namespace

Crossing crossing(std::span<const double> curve, double peak_at, double level) {
    Crossing out;
    out.opening = walk_down(curve, peak_at, level, -1);
    out.closing = walk_down(curve, peak_at, level, 1);
    out.opening_slope = slope_at(curve, out.opening);
    out.closing_slope = slope_at(curve, out.closing);
    return out;
}

std::vector<double> mean_weights(double from, double to) {
    // The integral of the linear interpolant: each interval gives its two ends their shares of what lies
    // inside.
    std::vector<double> weights(grid_points, 0.0);
    const auto first = static_cast<std::ptrdiff_t>(std::floor(from)),
               last = static_cast<std::ptrdiff_t>(std::ceil(to));
    for (std::ptrdiff_t g = first; g < last; ++g) {
        const double a = std::max(from - static_cast<double>(g), 0.0);
        const double b = std::min(to - static_cast<double>(g), 1.0);
        if (b <= a) continue;
        const double second = 0.5 * (b * b - a * a) / (to - from);
        weights[wrapped(g + 1)] += second;
        weights[wrapped(g)] += (b - a) / (to - from) - second;
    }
    return weights;
}

std::vector<double> point_weights(double position) {
    std::vector<double> weights(grid_points, 0.0);
    const auto g = static_cast<std::ptrdiff_t>(std::floor(position));
    const double u = position - std::floor(position);
    weights[wrapped(g)] += 1.0 - u;
    weights[wrapped(g + 1)] += u;
    return weights;
}

double weighted_sum(std::span<const double> weights, std::span<const double> curve) {
    double sum = 0.0;
    for (std::size_t g = 0; g < weights.size(); ++g) sum += weights[g] * curve[g];
    return sum;
}

}  // namespace lobewright
