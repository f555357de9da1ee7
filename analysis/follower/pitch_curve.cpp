#include "analysis/follower/pitch_curve.hpp"

#include <cmath>
#include <numbers>
#include <stdexcept>

#include <fmt/format.h>

namespace lobewright {
namespace {

double grid_deg(std::size_t g, std::size_t n) {
    return 360.0 * static_cast<double>(g) / static_cast<double>(n);
}

double grid_rad(std::size_t g, std::size_t n) {
    return 2.0 * std::numbers::pi * static_cast<double>(g) / static_cast<double>(n);
}

void check_tip(double tip_radius_mm) {
    if (tip_radius_mm >= 0.0 && std::isfinite(tip_radius_mm)) return;
    throw std::domain_error(fmt::format(
        "a tip radius of {:.6g} mm can't be; give 0 for a point or a positive radius", tip_radius_mm));
}

/// The polar curve 1/(h + r): its reach in the direction psi is 1/R(psi).
std::vector<double> polar_of(std::span<const double> support_mm, double tip_radius_mm) {
    const std::size_t n = support_mm.size();
    std::vector<double> polar(n);
    for (std::size_t g = 0; g < n; ++g) {
        const double s = support_mm[g] + tip_radius_mm;
        if (!(s > 0.0)) {
            throw std::domain_error(
                fmt::format("the flat tip's face stands {:.6g} mm from the cam's axis at {:.2f} deg: a tip "
                            "of radius {:.6g} mm "
                            "would need a pressure angle beyond 90 deg; check the base diameter",
                            support_mm[g], grid_deg(g, n), tip_radius_mm));
        }
        polar[g] = 1.0 / s;
    }
    return polar;
}

}  // namespace

SupportReading support_from_pitch(std::span<const double> pitch_radius_mm, double tip_radius_mm,
                                  double least_hollow_mm) {
    check_tip(tip_radius_mm);
    const std::size_t n = pitch_radius_mm.size();
    const Envelope pitch(pitch_radius_mm);
    SupportReading out;
    for (const auto& [distance, touching_rad] : pitch.reaches()) {
        const std::size_t i = out.support_mm.size();
        const double h = distance - tip_radius_mm;
        if (!(h > 0.0)) {
            throw std::domain_error(
                fmt::format("with a tip radius of {:.6g} mm the outline passes the cam's axis at {:.2f} deg; "
                            "check the base "
                            "diameter and the tip radius",
                            tip_radius_mm, grid_deg(i, n)));
        }
        out.support_mm.push_back(h);
        out.contact.at_rad.push_back(touching_rad);
        out.contact.gain.push_back(std::cos(touching_rad - grid_rad(i, n)));
    }
    out.hollows = hollows_of(pitch, least_hollow_mm);
    return out;
}

PitchCurve pitch_from_support(std::span<const double> support_mm, double tip_radius_mm) {
    check_tip(tip_radius_mm);
    const std::size_t n = support_mm.size();
    const Envelope polar(polar_of(support_mm, tip_radius_mm));
    PitchCurve out;
    for (const auto& [distance, touching_rad] : polar.reaches()) {
        const std::size_t i = out.radius_mm.size();
        out.radius_mm.push_back(1.0 / distance);
        out.contact.at_rad.push_back(touching_rad);
        out.contact.gain.push_back(1.0 / std::cos(touching_rad - grid_rad(i, n)));
    }
    return out;
}

}  // namespace lobewright
