#include "analysis/follower/contact_map.hpp"

#include <stdexcept>

#include <fmt/format.h>

#include "analysis/follower/grid_curve.hpp"

namespace lobewright {

std::vector<double> pulled_back(const ContactMap& map, std::span<const double> weights) {
    const std::size_t n = map.at_rad.size();
    if (weights.size() != n) {
        throw std::domain_error(
            fmt::format("{} weights don't fit a curve of {} points; give one a point", weights.size(), n));
    }
    std::vector<double> out(n, 0.0);
    for (std::size_t i = 0; i < n; ++i) {
        if (weights[i] == 0.0) continue;
        const auto [before, fraction] = grid_place(map.at_rad[i], n);
        const double w = weights[i] * map.gain[i];
        out[before] += (1.0 - fraction) * w;
        out[before + 1 == n ? 0 : before + 1] += fraction * w;
    }
    return out;
}

}  // namespace lobewright
