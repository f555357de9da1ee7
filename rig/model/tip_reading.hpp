// tip_reading.hpp: what a roller or a point tip reads on a convex outline that is known by its support
// function. A roller of radius r touches where the normal is theta; its centre then stands at the angle psi =
// theta + atan2(h', h + r), at the height sqrt((h + r)^2 + h'^2) (the parallel curve of the outline; a point
// tip is r = 0; a flat tip reads h itself).
#pragma once

#include <cmath>
#include <numbers>

#include "rig/model/support.hpp"

namespace lobewright {

/// Where a roller's centre stands when it touches at the normal theta.
struct RollerCentre {
    double angle_rad = 0.0;
    double height_mm = 0.0;  // from the cam's centre
};

inline RollerCentre roller_centre(const Support& support, double theta_rad, double radius_mm) {
    const double along = support.h + radius_mm;
    return {theta_rad + std::atan2(support.h1, along), std::sqrt(along * along + support.h1 * support.h1)};
}

/// The normal theta at which a roller whose centre stands at the angle psi touches. `support_at(theta_rad)`
/// returns a Support; its outline must be convex (h + h'' >= 0) and hold the centre (h > 0), then psi rises
/// with theta and there is one answer. Newton, kept inside a bracket; it doubles its digits each round, so a
/// step of 1e-8 ends it. Where the curvature changes fast Newton can creep; after a dozen rounds the bracket is halved.
template <class SupportAt>
double contact_normal_rad(const SupportAt& support_at, double radius_mm, double psi_rad) {
    double low = psi_rad - std::numbers::pi / 2.0;
    double high = psi_rad + std::numbers::pi / 2.0;
    double theta = psi_rad;
    constexpr int newton_rounds = 12;
    for (int round = 0; round < 100; ++round) {
        const Support s = support_at(theta);
        const RollerCentre centre = roller_centre(s, theta, radius_mm);
        const double miss = centre.angle_rad - psi_rad;
        (miss > 0.0 ? high : low) = theta;
        const double slope =
            (s.h + radius_mm) * (s.radius() + radius_mm) / (centre.height_mm * centre.height_mm);
        double next = theta - miss / slope;
        if (!(next > low && next < high) || round >= newton_rounds) next = 0.5 * (low + high);
        if (std::fabs(next - theta) < 1e-8) return next;
        theta = next;
    }
    return theta;
}

/// Height of a roller's or point's centre over the cam's centre, mm, when it stands at the angle psi.
template <class SupportAt>
double roller_height_mm(const SupportAt& support_at, double radius_mm, double psi_rad) {
    const double theta = contact_normal_rad(support_at, radius_mm, psi_rad);
    return roller_centre(support_at(theta), theta, radius_mm).height_mm;
}

}  // namespace lobewright
