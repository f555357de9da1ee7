#include "analysis/support/v_block.hpp"

#include <cmath>

#include "analysis/units.hpp"

namespace lobewright {

std::complex<double> v_block_rise(int harmonic, double v_angle_deg, double indicator_deg) {
    const double g = rad_from_deg(90.0 - 0.5 * v_angle_deg), beta = rad_from_deg(indicator_deg);
    const double sign = harmonic % 2 == 0 ? 1.0 : -1.0;
    const double along = std::cos(beta) * std::cos(harmonic * g) / std::cos(g);
    // A V of 180 degrees (g = 0) is a flat plate: sin(n g)/sin(g) is then its limit, n.
    const double across = std::sin(beta) * (g == 0.0 ? harmonic : std::sin(harmonic * g) / std::sin(g));
    return sign * std::polar(1.0, -harmonic * beta) * std::complex<double>(along, across);
}

std::complex<double> v_block_reading(int harmonic, double v_angle_deg, double indicator_deg) {
    return 1.0 + v_block_rise(harmonic, v_angle_deg, indicator_deg);
}

}  // namespace lobewright
