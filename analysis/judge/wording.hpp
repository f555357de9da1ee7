// wording.hpp: how lengths are said to people, in sentences and in tables. Plain ASCII, so that every
// terminal, printer and mail shows them. Input in mm; `units` is the unit that is printed.
#pragma once

#include <string>

#include "analysis/measured.hpp"
#include "analysis/units.hpp"

namespace lobewright {

/// "0.0195 +/- 0.0019 mm": U to two significant digits and the value to the same decimals (JCGM 100, 7.2.6,
/// from memory), not coarser than 1 um or 0.0001 in and not finer than 10 nm or 1 uin. "unknown" when it
/// can't be known.
std::string say_figure(const Measured& figure_mm, Units units);

/// "0.13 mm": a length that was given, without trailing zeros (finest 10 nm or 1 uin).
std::string say_length(double length_mm, Units units);

/// "0.404 mm": a length that was worked out, at the bench's resolution of 1 um or 0.00001 in.
std::string say_rounded(double length_mm, Units units);

/// The same without the unit, for columns. "-" when
/// unknown.
std::string say_cell(double length_mm, Units units);

/// `value` with that many decimals, never "-0.000".
std::string fixed(double value, int decimals);

}  // namespace lobewright
