#include "analysis/support/v_block.hpp"

#include <cmath>

#include "analysis/units.hpp"

namespace lobewright {

double v_block_rise(int harmonic, double v_angle_deg) {
    const double g = rad_from_deg(90.0 - 0.5 * v_angle_deg);
    const double sign = harmonic % 2 == 0 ? 1.0 : -1.0;
    return sign * std::cos(harmonic * g) / std::cos(g);
}

double v_block_reading(int harmonic, double v_angle_deg) {
    return 1.0 + v_block_rise(harmonic, v_angle_deg);
}

}  // namespace lobewright
