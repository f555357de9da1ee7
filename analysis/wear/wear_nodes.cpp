#include "analysis/wear/wear_nodes.hpp"

#include <algorithm>
#include <cmath>

namespace lobewright {
namespace {

constexpr std::size_t node_stride =
    6;  // 3 degrees: about the reach of the smoothing, so that noise is independent

}  // namespace

WearNodes wear_nodes(const NodeSource& source, const WearMap& map, std::size_t first, std::size_t count) {
    WearNodes nodes;
    const EdgeMix used_front = source.used_geometry.front_edge(),
                  used_rear = source.used_geometry.rear_edge();
    const EdgeMix other_front = source.reference_geometry.front_edge(),
                  other_rear = source.reference_geometry.rear_edge();
    std::array<double, 2> noise{};
    std::size_t at = 0;
    for (std::size_t i = 0; i < count; i += node_stride) {
        const std::size_t g = (first + i) % grid_points;
        nodes.reading_mm.push_back(std::max(source.used_mid_mm[g], 0.0));
        nodes.wear_mm[0].push_back(map.front_mm[g]);
        nodes.wear_mm[1].push_back(map.rear_mm[g]);
        // The noise changes with the slope only: every fourth node is enough.
        if (at % 4 == 0) {
            noise = source.used.noise_at(static_cast<double>(g), {used_front, used_rear});
            if (source.reference != nullptr) {
                const auto r = source.reference->noise_at(static_cast<double>(g), {other_front, other_rear});
                noise = {std::hypot(noise[0], r[0]), std::hypot(noise[1], r[1])};
            }
        }
        ++at;
        for (std::size_t e = 0; e < 2; ++e) nodes.noise_mm[e].push_back(noise[e]);
    }
    nodes.front_mix = {used_front.front, used_front.rear};
    nodes.rear_mix = {used_rear.front, used_rear.rear};
    nodes.indicator_sd_mm = source.indicator_sd_mm;
    nodes.travel_mm = indicator_travel_mm(source.lift_mm);
    return nodes;
}

}  // namespace lobewright
