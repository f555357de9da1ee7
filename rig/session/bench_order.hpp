// bench_order.hpp: what there is to sweep on a cam, in the order in which the hands go along it: front to rear.
#pragma once

#include <string>
#include <vector>

#include "analysis/run/run.hpp"

namespace lobewright {

struct BenchPlace {
    std::string name;
    bool journal = false;
    double z_mm = 0.0;  // of the lobe's or journal's middle from the cam's front face
};

/// All lobes and journals of the run, or those named, in bench order. Throws UsageError for a name that the run lacks.
std::vector<BenchPlace> bench_order(const Run& run, const std::vector<std::string>& named = {});

}  // namespace lobewright
