#include "analysis/follower/hollow.hpp"

#include <cmath>

#include "analysis/units.hpp"

namespace lobewright {

std::vector<Hollow> hollows_of(const Envelope& pitch, double least_depth_mm) {
    std::vector<Hollow> out;
    for (const auto& bridge : pitch.bridges()) {
        if (!(bridge.depth > least_depth_mm)) continue;
        out.push_back({deg_from_rad(bridge.from_rad), deg_from_rad(bridge.to_rad),
                       deg_from_rad(bridge.deepest_rad), deg_from_rad(bridge.normal_rad), bridge.depth});
    }
    return out;
}

std::vector<double> depth_weights(const Hollow& hollow, std::span<const double> pitch_radius_mm) {
    const std::size_t n = pitch_radius_mm.size();
    const GridCurve pitch(pitch_radius_mm);
    struct Point {
        double rad, sideways_mm, cosine;  // sideways: along the bridge
    };
    const auto point = [&](double deg) {
        const double rad = rad_from_deg(deg), from_normal = rad - rad_from_deg(hollow.normal_deg);
        return Point{rad, pitch.at(rad).value * std::sin(from_normal), std::cos(from_normal)};
    };
    const Point from = point(hollow.from_deg), to = point(hollow.to_deg), deepest = point(hollow.deepest_deg);
    const double share = (deepest.sideways_mm - from.sideways_mm) / (to.sideways_mm - from.sideways_mm);
    std::vector<double> weights(n, 0.0);
    const auto add = [&](const Point& at, double weight) {
        const auto [before, fraction] = grid_place(at.rad, n);
        weights[before] += (1.0 - fraction) * weight * at.cosine;
        weights[(before + 1) % n] += fraction * weight * at.cosine;
    };
    add(from, 1.0 - share);
    add(to, share);
    add(deepest, -1.0);
    return weights;
}

}  // namespace lobewright
