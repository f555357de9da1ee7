// bench_runs.hpp: the two runs that the bench measures on, and the least that reading their bytes can cost.
#pragma once

#include <cstdint>
#include <filesystem>
#include <vector>

namespace lobewright::bench {

struct BenchRuns {
    std::filesystem::path reference;
    std::filesystem::path used;
    std::vector<std::filesystem::path> files;  // the sweeps of both
    std::size_t rows = 0;
    std::uintmax_t bytes = 0;  // of the sweeps
};

/// Two 12-lobe runs, 3 passes, 14 400 counts a turn (1.6 million rows, 48 MB), made by the cam model in this folder.
BenchRuns write_bench_runs(const std::filesystem::path& folder);

/// The baseline: bytes in, std::from_chars into vectors, no checks at all, files shared out over all cores.
void parse_bare(const BenchRuns& runs);

}  // namespace lobewright::bench
