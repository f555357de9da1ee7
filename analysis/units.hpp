// units.hpp: the one home of unit conversions. Inside the code lengths are millimetres; angles are radians,
// except where a name says _deg. Inches, degrees, counts and steps live at the edges: files, wires, people.
#pragma once

#include <cmath>
#include <cstdint>
#include <numbers>

namespace lobewright {

/// The unit of length that a run folder or an output is written in.
enum class Units { mm, in };

inline constexpr double mm_per_inch = 25.4;  // exact by definition (international inch, 1959)

/// Millimetres in one unit of `units`.
constexpr double mm_per(Units units) {
    return units == Units::in ? mm_per_inch : 1.0;
}

constexpr double rad_from_deg(double deg) {
    return deg * (std::numbers::pi / 180.0);
}
constexpr double deg_from_rad(double rad) {
    return rad * (180.0 / std::numbers::pi);
}

/// The same angle in [-180, 180).
inline double wrapped_deg(double deg) {
    const double turned = deg - 360.0 * std::floor((deg + 180.0) / 360.0);
    return turned < 180.0 ? turned : turned - 360.0;
}

/// The same angle in [-pi, pi).
inline double wrapped_rad(double rad) {
    constexpr double pi = std::numbers::pi;
    const double turned = rad - 2.0 * pi * std::floor((rad + pi) / (2.0 * pi));
    return turned < pi ? turned : turned - 2.0 * pi;
}

/// Where an angle lies within its turn, 0 up to 1; the floor without a library call, for use on every sample.
inline double turn_fraction(double rad) {
    const double turns = rad * (0.5 / std::numbers::pi);
    auto whole = static_cast<std::int64_t>(turns);
    whole -= static_cast<double>(whole) > turns;
    return turns - static_cast<double>(whole);
}

}  // namespace lobewright
