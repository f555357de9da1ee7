// slow_spectra.hpp: how errors that are slower than a turn are spread over its harmonics, 0 to 4, at unit variance: one
// home for the budget and for the draws that check it. No source: common sense of what each is.
#pragma once

#include <array>

namespace lobewright {

using SlowSpectrum = std::array<double, 5>;

// Wander of a journal's readings is slower than a turn, so that each next harmonic holds half of the one before.
inline constexpr SlowSpectrum wander_spectrum{0.5, 0.25, 0.125, 0.0625, 0.0625};

// An encoder's own error is mostly its disc off its axis, once and twice a turn; a constant is only a phase.
inline constexpr SlowSpectrum encoder_spectrum{0.0, 0.5, 0.25, 0.125, 0.125};

}  // namespace lobewright
