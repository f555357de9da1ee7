#include "analysis/follower/follower_motion.hpp"

#include <cmath>
#include <stdexcept>

#include <fmt/format.h>

#include "analysis/follower/grid_curve.hpp"
#include "analysis/follower/pitch_curve.hpp"

namespace lobewright {
namespace {

FollowerMotion motion_above(std::vector<double> height_mm, double lowest_mm) {
    FollowerMotion out;
    out.velocity_mm_per_rad = first_derivative(height_mm);
    out.acceleration_mm_per_rad2 = second_derivative(height_mm);
    out.jerk_mm_per_rad3 = third_derivative(height_mm);
    for (double& height : height_mm) height -= lowest_mm;
    out.lift_mm = std::move(height_mm);
    return out;
}

void check_base(double base_radius_mm) {
    if (base_radius_mm > 0.0 && std::isfinite(base_radius_mm)) return;
    throw std::domain_error(
        fmt::format("a base radius of {:.6g} mm can't be; give half the base diameter", base_radius_mm));
}

}  // namespace

FollowerMotion flat_follower_motion(std::span<const double> support_mm, double base_radius_mm) {
    check_base(base_radius_mm);
    return motion_above({support_mm.begin(), support_mm.end()}, base_radius_mm);
}

FollowerMotion roller_follower_motion(std::span<const double> support_mm, double base_radius_mm,
                                      double roller_radius_mm) {
    check_base(base_radius_mm);
    return motion_above(pitch_from_support(support_mm, roller_radius_mm).radius_mm,
                        base_radius_mm + roller_radius_mm);
}

FlatContact flat_contact(std::span<const double> support_mm) {
    FlatContact out{first_derivative(support_mm), second_derivative(support_mm)};
    for (std::size_t g = 0; g < support_mm.size(); ++g) out.curvature_mm[g] += support_mm[g];
    return out;
}

}  // namespace lobewright
