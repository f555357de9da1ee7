// v_block.hpp: what a shaft's own roundness does to it in a V-block (docs/measuring.md section 7).
//
// A shaft with support function R + sum a_n cos(n t - p_n) turned in a V of included angle V, read by a flat
// tip on the bisector above it, shows each harmonic times F_n = 1 + (-1)^n cos(n g)/cos g, g = 90 deg - V/2.
// Its axis itself rises by D_n = F_n - 1 times the harmonic. F_1 = 0: what a V-block carries can't run out.
// Source: ISO 4292:1985 (two- and three-point roundness), values from memory; exact for support-function
// harmonics, as a lobed body dropped on two planes shows (tests/outside/v_block_table_test.cpp).
#pragma once

namespace lobewright {

/// F_n for a V of included angle `v_angle_deg` (0..180), tip on the bisector, over the shaft. Dimensionless.
double v_block_reading(int harmonic, double v_angle_deg);

/// D_n = F_n - 1: rise of the shaft's axis along the bisector for one unit of the harmonic. Dimensionless.
double v_block_rise(int harmonic, double v_angle_deg);

}  // namespace lobewright
