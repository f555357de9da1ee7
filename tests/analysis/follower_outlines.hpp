// Outlines whose support function is known in closed form, for the tests of analysis/follower, and what a
// roller reads on them by bisection on the contact: slow, and no code of the library is in it.
#pragma once

#include <cmath>
#include <cstddef>
#include <functional>
#include <numbers>
#include <vector>

namespace follower_test {

inline constexpr double pi = std::numbers::pi;
inline constexpr double degree = pi / 180.0;
inline constexpr std::size_t half_degrees = 720;
inline constexpr double step = 2.0 * pi / static_cast<double>(half_degrees);

struct SupportAt {
    double h = 0.0;   // mm
    double h1 = 0.0;  // mm/rad
};
using TrueOutline = std::function<SupportAt(double)>;

/// An angle in [-pi, pi].
inline double folded(double rad) {
    return std::remainder(rad, 2.0 * pi);
}

/// Grid index of a whole or half degree.
inline std::size_t at_deg(double deg) {
    return static_cast<std::size_t>(std::lround(2.0 * deg)) % half_degrees;
}

inline std::vector<double> on_grid(std::size_t n, const std::function<double(double)>& f) {
    std::vector<double> out;
    for (std::size_t g = 0; g < n; ++g)
        out.push_back(f(2.0 * pi * static_cast<double>(g) / static_cast<double>(n)));
    return out;
}

inline std::vector<double> support_on_grid(std::size_t n, const TrueOutline& outline) {
    return on_grid(n, [&](double theta) { return outline(theta).h; });
}

/// A roller's pitch radius at psi: the contact normal theta by 200 halvings of psi = theta + atan2(h', h +
/// r).
inline double pitch_radius(const TrueOutline& outline, double r, double psi) {
    double low = psi - pi / 2.0, high = psi + pi / 2.0;
    for (int i = 0; i < 200; ++i) {
        const double theta = 0.5 * (low + high);
        const SupportAt s = outline(theta);
        (theta + std::atan2(s.h1, s.h + r) > psi ? high : low) = theta;
    }
    const SupportAt s = outline(0.5 * (low + high));
    return std::hypot(s.h + r, s.h1);
}

inline std::vector<double> pitch_on_grid(std::size_t n, const TrueOutline& outline, double r) {
    return on_grid(n, [&](double psi) { return pitch_radius(outline, r, psi); });
}

inline SupportAt eccentric_circle(double theta) {
    return {15.0 + 4.0 * std::cos(theta), -4.0 * std::sin(theta)};
}

inline SupportAt smooth_outline(double t) {
    return {20.0 + 3.0 * std::cos(t) + std::cos(2.0 * t) + 0.2 * std::cos(3.0 * t),
            -3.0 * std::sin(t) - 2.0 * std::sin(2.0 * t) - 0.6 * std::sin(3.0 * t)};
}

/// Base circle 20, lift 4 by 4-5-6-7 programs of 80 degrees up and 80 down, centred on 180 degrees: least
/// radius of curvature 7.9.
inline SupportAt lobe_4567(double theta) {
    constexpr double lift = 4.0, rise = 80.0 * degree;
    const double from_nose = folded(theta - pi);
    const double x = 1.0 - std::fabs(from_nose) / rise;
    if (x <= 0.0) return {20.0, 0.0};
    const double x3 = x * x * x;
    const double s = x3 * x * (35.0 + x * (-84.0 + x * (70.0 - 20.0 * x)));
    const double v = x3 * (140.0 + x * (-420.0 + x * (420.0 - 140.0 * x)));
    return {20.0 + lift * s, (from_nose > 0.0 ? -1.0 : 1.0) * lift / rise * v};
}

/// Three-arc cam: base circle 15, flanks 63, nose 6 with its centre 15 from the axis, lift 6, event 2 x 60
/// deg.
inline const double three_arc_joint = std::acos(13.0 / 19.0);  // normal of flank and nose
inline constexpr double three_arc_start = 60.0 * degree;       // normal of base circle and flank

inline SupportAt three_arc(double theta) {
    const double psi = folded(theta), from_nose = std::fabs(psi), side = psi < 0.0 ? -1.0 : 1.0;
    if (from_nose >= three_arc_start) return {15.0, 0.0};
    if (from_nose < three_arc_joint) return {6.0 + 15.0 * std::cos(psi), -15.0 * std::sin(psi)};
    const double t = three_arc_start - from_nose;
    return {15.0 + 48.0 * (1.0 - std::cos(t)), -side * 48.0 * std::sin(t)};
}

/// What a roller of radius r reads on it, from the cam's axis: its centre moves on arcs about those of flank and nose.
inline double three_arc_pitch(double psi_rad, double r) {
    const double psi = std::fabs(folded(psi_rad));
    const double joint =
        std::atan2((6.0 + r) * std::sin(three_arc_joint), 15.0 + (6.0 + r) * std::cos(three_arc_joint));
    if (psi >= three_arc_start) return 15.0 + r;
    if (psi < joint) {
        const double d = 15.0 * std::sin(psi);
        return 15.0 * std::cos(psi) + std::sqrt((6.0 + r) * (6.0 + r) - d * d);
    }
    const double t = three_arc_start - psi, a = 48.0 * std::sin(t);
    return -48.0 * std::cos(t) + std::sqrt((63.0 + r) * (63.0 + r) - a * a);
}

/// Base circle 15 and a nose circle, its centre `arm` from the axis, with straight flanks laid on both: a tangent cam.
/// With a large nose on a short arm it is an eccentric circle with a heel.
struct TangentCam {
    double nose = 6.0;
    double arm = 15.0;

    /// Normal of the straight flank.
    [[nodiscard]] double flank() const { return std::acos((15.0 - nose) / arm); }
    [[nodiscard]] SupportAt support(double theta) const {
        const double on_nose = nose + arm * std::cos(theta);
        return on_nose > 15.0 ? SupportAt{on_nose, -arm * std::sin(theta)} : SupportAt{15.0, 0.0};
    }
    /// Follower angle from the nose at which a roller passes from flank to nose: the flank is arm sin(flank) long.
    [[nodiscard]] double leaves(double r) const {
        return flank() - std::atan2(arm * std::sin(flank()), 15.0 + r);
    }
    [[nodiscard]] double pitch(double angle, double r) const {
        const double psi = std::fabs(folded(angle)), d = arm * std::sin(psi);
        if (psi >= flank()) return 15.0 + r;
        if (psi >= leaves(r)) return (15.0 + r) / std::cos(flank() - psi);
        return arm * std::cos(psi) + std::sqrt((nose + r) * (nose + r) - d * d);
    }
};

/// Largest difference between two curves.
inline double largest_difference(const std::vector<double>& a, const std::vector<double>& b) {
    double largest = 0.0;
    for (std::size_t g = 0; g < a.size(); ++g) largest = std::fmax(largest, std::fabs(a[g] - b[g]));
    return largest;
}

}  // namespace follower_test
