// v_block.hpp: what a shaft's own roundness does to it in a V-block (docs/measuring.md section 7).
//
// A shaft with support function R + sum a_n cos(n t - p_n), t the angle on the shaft counted in the direction of turning,
// lies in a V of included angle V. A flat tip at the angle beta from the V's bisector (counted the same way; 0 over the
// shaft, 180 deg up through the V) stands on t = beta - theta once the shaft has turned by theta, and reads
//     Re sum F_n a_n exp(i (n t - p_n)),
//     F_n = 1 + (-1)^n exp(-i n beta) [cos(beta) cos(n g)/cos(g) + i sin(beta) sin(n g)/sin(g)],   g = 90 deg - V/2.
// On the bisector F_n is real. Of it D_n = F_n - 1 is what the shaft's axis itself moves toward the indicator.
// F_1 = 0: what a V-block carries can't run out.
// Source: ISO 4292:1985 (two- and three-point roundness), values from memory; exact for support-function harmonics, as a
// lobed body laid on two planes shows (tests/outside/v_block_table_test.cpp).
#pragma once

#include <complex>

namespace lobewright {

/// F_n for a V of included angle `v_angle_deg` (0..180, both ends out) and a tip `indicator_deg` from the bisector.
/// Dimensionless.
std::complex<double> v_block_reading(int harmonic, double v_angle_deg, double indicator_deg = 0.0);

/// D_n = F_n - 1: the axis' motion toward the indicator for one unit of the harmonic. Dimensionless.
std::complex<double> v_block_rise(int harmonic, double v_angle_deg, double indicator_deg = 0.0);

}  // namespace lobewright
