#include "analysis/lobe/lobe_on_grid.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/follower/pitch_curve.hpp"
#include "analysis/follower/tip_line.hpp"

namespace lobewright {
namespace {

// A hollow shallower than this is lost in what noise and an indicator's error make of a straight flank.
constexpr double least_hollow_mm = 0.005;

constexpr auto n = static_cast<std::ptrdiff_t>(grid_points);

std::size_t wrapped(std::ptrdiff_t g) {
    return static_cast<std::size_t>(((g % n) + n) % n);
}

void add_to(std::vector<double>& values, double offset) {
    for (double& v : values) v += offset;
}

// A lobe whose axis lies (a, b) off the axis of rotation passes a round tip to one side by p = a sin(psi) - b
// cos(psi): about the lobe's own axis the tip's centre stands at the angle psi + p/R and the distance
// sqrt(R^2 + p^2), R the reading less its once-per-turn part. (Derived; a flat tip has none of this.)
// Left out, the first turns the flanks by e/R, 0.03 deg for 0.01 mm, the second
// lowers the heel by e^2/2R, 1.3 um for 0.2 mm.

double beside(const Sinusoid& circle, double cosine, double sine) {
    return circle.a * sine - circle.b * cosine;
}

/// The once-per-turn part of a round tip's readings and the displacement above the base circle, second order
/// included.
Sinusoid remove_circle(const SinusoidFit& heel, double base_mm, const std::vector<double>& reading,
                       std::vector<double>& lift) {
    constexpr int rounds = 3;  // each gains a factor of e/R
    const auto [cosine, sine] = grid_angles(grid_points);
    Sinusoid circle = heel.fit(reading);
    for (int i = 0; i < rounds; ++i) {
        for (std::size_t g = 0; g < grid_points; ++g) {
            const double once = circle.c0 + circle.a * cosine[g] + circle.b * sine[g];
            const double p = beside(circle, cosine[g], sine[g]);
            lift[g] = reading[g] + p * p / (2.0 * (base_mm + reading[g] - once));
        }
        circle = heel.fit(lift);
    }
    heel.remove(lift);
    return circle;
}

/// The curve of the tip's centre by the angle about the lobe's own axis.
std::vector<double> about_own_axis(const std::vector<double>& radius, const Sinusoid& circle) {
    const auto [cosine, sine] = grid_angles(grid_points);
    const double per_rad = static_cast<double>(grid_points) / (2.0 * std::numbers::pi);
    std::vector<double> out(grid_points);
    for (std::size_t g = 0; g < grid_points; ++g) {
        // The reading at `at` is of the angle at + p/R, p and R taken there: two rounds leave (e/R)^3.
        double at = static_cast<double>(g) - per_rad * beside(circle, cosine[g], sine[g]) / radius[g];
        for (int round = 0; round < 2; ++round) {
            const double rad = at / per_rad;
            at = static_cast<double>(g) -
                 per_rad * beside(circle, std::cos(rad), std::sin(rad)) / value_at(radius, at);
        }
        out[g] = value_at(radius, at);
    }
    return out;
}

/// Base radius of the tapered lobe under the indicator at z.
double base_radius_at(const TipToFollower& tip, double z_mm, const Sinusoid& front, const Sinusoid& rear) {
    if (!tip.rear_minus_front_mm) return tip.base_radius_mm;
    const double taper = rear.c0 - front.c0 - *tip.rear_minus_front_mm;
    return tip.base_radius_mm + taper * z_mm / (tip.rear_z_mm - tip.front_z_mm);
}

/// From the tip's displacement to the follower's, by way of the flat one (docs/measuring.md section 6).
void state_for_follower(const LobeCurve& curve, double base_mm, const Sinusoid& circle,
                        std::vector<double>& lift, std::vector<ContactMap>& maps,
                        std::vector<Hollow>& hollows) {
    const auto& tip = curve.tip;
    try {
        if (tip.tip_radius_mm) {
            const double over_heel = base_mm + *tip.tip_radius_mm;
            if (tip.tip_offset_mm != 0.0) {
                add_to(lift, height_beside(over_heel, tip.tip_offset_mm));
                auto in_line = pitch_from_line_beside(lift, tip.tip_offset_mm);
                lift = std::move(in_line.radius_mm);
                maps.push_back(std::move(in_line.contact));
            } else {
                add_to(lift, over_heel);
            }
            lift = about_own_axis(lift, circle);
            auto flat = support_from_pitch(lift, *tip.tip_radius_mm, least_hollow_mm);
            lift = std::move(flat.support_mm);
            maps.push_back(std::move(flat.contact));
            hollows.insert(hollows.end(), flat.hollows.begin(), flat.hollows.end());
        } else {
            add_to(lift, base_mm);
        }
        if (tip.follower_radius_mm) {
            auto roller = pitch_from_support(lift, *tip.follower_radius_mm);
            lift = std::move(roller.radius_mm);
            maps.push_back(std::move(roller.contact));
            add_to(lift, -*tip.follower_radius_mm);
        }
        add_to(lift, -base_mm);
    } catch (const std::domain_error& error) {
        throw DataError(
            fmt::format("lobe '{}': its readings can't be those of this tip on this base circle ({}); check "
                        "tip_radius, follower_radius and base_diameter",
                        curve.name, error.what()));
    }
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
    if (curve.tip.differ()) {
        if (curve.tip.tip_radius_mm) {
            const double base = curve.tip.base_radius_mm + *curve.tip.tip_radius_mm;
            shape.front_circle = remove_circle(heel, base, shape.front_reading, shape.front);
            shape.rear_circle = remove_circle(heel, base, shape.rear_reading, shape.rear);
        }
        const auto base_at = [&](double z_mm) {
            return base_radius_at(curve.tip, z_mm, shape.front_circle, shape.rear_circle);
        };
        state_for_follower(curve, base_at(curve.tip.front_z_mm), shape.front_circle, shape.front,
                           shape.maps[0], shape.hollows);
        state_for_follower(curve, base_at(curve.tip.rear_z_mm), shape.rear_circle, shape.rear, shape.maps[1],
                           shape.hollows);
    }
    return shape;
}

std::vector<double> LobeOnGrid::on_tip(std::size_t edge, std::vector<double> weights) const {
    for (std::size_t i = maps[edge].size(); i-- > 0;) weights = pulled_back(maps[edge][i], weights);
    return weights;
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
