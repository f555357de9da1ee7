// Notation as in the header: y height along the line of travel, e its offset, psi the line's direction on the
// cam, alpha = psi + atan2(e, y) the polar angle of the tip's centre, R its distance.
#include "analysis/follower/tip_line.hpp"

#include <cmath>
#include <numbers>
#include <stdexcept>

#include <fmt/format.h>

#include "analysis/follower/grid_curve.hpp"

namespace lobewright {
namespace {

/// d alpha / d psi along the curve; it must stay positive for the curve to be one of alpha.
double turning(const CurvePoint& y, double e) {
    return 1.0 - e * y.first / (y.value * y.value + e * e);
}

void check_heights(std::span<const double> height_mm, const GridCurve& height, double e) {
    const std::size_t n = height_mm.size();
    for (std::size_t g = 0; g < n; ++g) {
        const double deg = 360.0 * static_cast<double>(g) / static_cast<double>(n);
        if (!(height_mm[g] > 0.0)) {
            throw std::domain_error(
                fmt::format("the tip stands {:.6g} mm above the cam's axis at {:.2f} deg; it must be "
                            "positive all round: check "
                            "the base diameter",
                            height_mm[g], deg));
        }
        if (!(turning(height.at_grid(g), e) > 0.0)) {
            throw std::domain_error(
                fmt::format("a tip line {:.6g} mm beside the axis meets the same place twice at {:.2f} deg; "
                            "bring the tip "
                            "in line with the axis",
                            e, deg));
        }
    }
}

}  // namespace

PitchCurve pitch_from_line_beside(std::span<const double> height_mm, double offset_mm) {
    const double e = offset_mm;
    if (!std::isfinite(e)) throw std::domain_error("the tip line's offset isn't a number; give it in mm");
    const GridCurve height(height_mm);
    check_heights(height_mm, height, e);
    PitchCurve out;
    for (std::size_t i = 0; i < height.points(); ++i) {
        const double alpha = static_cast<double>(i) * height.step_rad();
        double psi = alpha - std::atan2(e, height_mm[i]);
        CurvePoint y = height.at(psi);
        for (int round = 0; round < 20; ++round) {  // Newton; 3 or 4 rounds in practice
            const double step = (psi + std::atan2(e, y.value) - alpha) / turning(y, e);
            psi -= step;
            y = height.at(psi);
            if (std::fabs(step) < 1e-9) break;  // the next would be below double precision
        }
        const double distance = std::hypot(y.value, e);
        out.radius_mm.push_back(distance);
        out.contact.at_rad.push_back(psi);
        out.contact.gain.push_back(y.value / (distance * turning(y, e)));
    }
    return out;
}

double height_beside(double distance_mm, double offset_mm) {
    if (!(std::fabs(offset_mm) < distance_mm)) {
        throw std::domain_error(
            fmt::format("a line {:.6g} mm beside the axis has no point {:.6g} mm from it; "
                        "check the offset and the base diameter",
                        offset_mm, distance_mm));
    }
    return std::sqrt((distance_mm - offset_mm) * (distance_mm + offset_mm));
}

}  // namespace lobewright
