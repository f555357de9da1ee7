#include "analysis/lobe/outline.hpp"

#include <cmath>
#include <stdexcept>

#include "analysis/constants.hpp"

namespace lobewright {
namespace {

constexpr std::size_t least_lifts = 36;

/// Change for each radian at g, over 2 degrees either way or one step where steps are wider.
double slope_at(const std::vector<double>& values, std::size_t g) {
    const std::size_t n = values.size();
    const std::size_t reach = n < 360 ? 1 : n / 180;
    const double span_rad = 2.0 * static_cast<double>(reach) * two_pi / static_cast<double>(n);
    return (values[(g + reach) % n] - values[(g + n - reach) % n]) / span_rad;
}

}  // namespace

std::vector<OutlinePoint> lobe_outline(const std::vector<double>& lift_mm, double base_radius_mm,
                                       const CamInfo& cam) {
    const bool roller = cam.follower == Follower::roller;
    if (lift_mm.size() < least_lifts || !(base_radius_mm > 0.0) || (roller && !cam.follower_radius_mm))
        throw std::domain_error("an outline needs lifts round the turn, a base radius and a roller's radius");
    const double roller_mm = roller ? *cam.follower_radius_mm : 0.0;
    std::vector<OutlinePoint> outline;
    outline.reserve(lift_mm.size());
    for (std::size_t g = 0; g < lift_mm.size(); ++g) {
        const double at = two_pi * static_cast<double>(g) / static_cast<double>(lift_mm.size());
        const double out_mm = base_radius_mm + roller_mm + lift_mm[g], slope = slope_at(lift_mm, g);
        // A pitch curve's normal leans back by the pressure angle; a flat face's points to where the follower stands.
        const double normal = roller ? at - std::atan2(slope, out_mm) : at;
        const double across = roller ? 0.0 : slope;
        outline.push_back({out_mm * std::cos(at) - across * std::sin(at) - roller_mm * std::cos(normal),
                           out_mm * std::sin(at) + across * std::cos(at) - roller_mm * std::sin(normal),
                           normal});
    }
    return outline;
}

}  // namespace lobewright
