// extremes.hpp: what noise does to a largest value (docs/figures.md: u95 covers the bias of a maximum taken
// over a noisy curve, too).
//
// The maximum of a disturbed curve lies above the maximum of the true one: by little on a sharp peak, by the
// whole reach of the disturbance on a plateau. What stands within reach of the top is compared with what the
// disturbances alone would scatter there: as far as they explain it, it is taken for a plateau and its mean
// counts; as far as they don't, it is a peak, and the bias that resampling shows is taken off (GUM Supplement
// 1, JCGM 101:2008, from memory; the shrinking is that of W. James and C. Stein 1961, from memory).
// tests/coverage shows how often the u95 holds.
#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include "analysis/measured.hpp"

namespace lobewright {

/// Wear at nodes round the lift event, for both lobe edges, with what disturbs it.
struct WearNodes {
    std::vector<double> step_deg;                 // cam degrees that a node stands for
    std::array<std::vector<double>, 2> wear_mm;   // front and rear edge
    std::array<std::vector<double>, 2> noise_mm;  // standard deviation, independent from node to node
    std::vector<double> reading_mm;               // of the indicators, above their reading on the heel
    std::array<double, 2> front_mix{};            // front edge as a mix of front and rear indicator
    std::array<double, 2> rear_mix{};
    double indicator_sd_mm = 0.0;  // of one indicator's error in used less reference, at one reading
    double travel_mm = 1.0;        // over which that error swings
};

/// The largest wear put right.
struct LargestWear {
    double correction_mm = 0.0;  // to be added to the largest value read off the curve; not positive
    double sd_mm = 0.0;          // of the wear at the place where it is largest
    double steadied = 1.0;       // how much less the largest scatters than its place: below 1 on a plateau
};

/// Resamples `draws` times with a generator seeded by `seed`: the same input gives the same output
/// everywhere.
LargestWear largest_wear(const WearNodes& nodes, std::size_t draws, std::uint64_t seed);

}  // namespace lobewright
