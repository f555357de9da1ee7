// extremes.hpp: what noise does to a largest value. The maximum of a noisy curve lies above the maximum of
// the true one, and so does an integral of its positive part; both are put right by resampling, and the
// spread of the resampled figures gives their u95 (GUM Supplement 1, JCGM 101:2008, from memory).
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
    double correlation_mm = 1.0;   // over which that error changes
};

/// Bias and standard deviation that the disturbances give the two figures.
struct ExtremeSpread {
    double max_bias_mm = 0.0;
    double max_sd_mm = 0.0;
    double area_bias_mm_deg = 0.0;
    double area_sd_mm_deg = 0.0;
};

/// Resamples `draws` times with a generator seeded by `seed`: the same input gives the same output
/// everywhere.
ExtremeSpread extreme_spread(const WearNodes& nodes, std::size_t draws, std::uint64_t seed);

}  // namespace lobewright
