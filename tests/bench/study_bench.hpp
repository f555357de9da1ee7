// study_bench.hpp: what a study costs as its runs grow in number: time a run, how busy the cores are, memory.
#pragma once

#include <cstddef>
#include <filesystem>
#include <vector>

namespace lobewright::bench {

struct StudyCost {
    std::size_t runs = 0;
    double wall_s = 0.0;
    double cpu_s = 0.0;  // user and system, of all threads
    double peak_mb = 0.0;
};

/// Runs the shipped program's `study` on so many pairs of 8-lobe sample runs, its lines to a file.
StudyCost study_cost(const std::filesystem::path& folder, std::size_t runs);

}  // namespace lobewright::bench
