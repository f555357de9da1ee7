// wear_nodes.hpp: a difference of two lobes' surfaces at nodes round the turn, with what disturbs it, for extremes.hpp.
#pragma once

#include <cstddef>
#include <vector>

#include "analysis/uncertainty/influence.hpp"
#include "analysis/wear/extremes.hpp"

namespace lobewright {

/// A difference round the lobe on the used run's grid, at the lobe's edges, mm. As wear: positive = metal lost.
struct WearMap {
    std::vector<double> front_mm;
    std::vector<double> rear_mm;
};

/// Where the two sides of a difference come from. Without a reference the other side is exact (a profile that is given).
struct NodeSource {
    const RunUncertainty& used;
    const RunUncertainty* reference = nullptr;
    LobeGeometry used_geometry;
    LobeGeometry reference_geometry;
    std::vector<double> used_mid_mm;  // lift of the used lobe at mid-width
    double lift_mm = 0.0;             // largest lift, over which an indicator's error changes
    double indicator_sd_mm = 0.0;     // of one indicator's error in the difference
};

/// Nodes every 3 degrees over `count` grid points from `first` on.
WearNodes wear_nodes(const NodeSource& source, const WearMap& map, std::size_t first, std::size_t count);

}  // namespace lobewright
