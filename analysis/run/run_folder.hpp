// run_folder.hpp: a run folder on disk, read and written exactly as docs/run-folder.md says.
#pragma once

#include <filesystem>

#include "analysis/run/run.hpp"

namespace lobewright {

/// Reads run.toml and every sweeps/*.csv, sweeps on `threads` threads (0: as many as the machine has cores).
/// Throws NoInputError when the folder or run.toml isn't there, IoError when it can't be read, and DataError
/// for wrong content: one line that names file, line and column or key, what was found and what was expected.
Run read_run(const std::filesystem::path& folder, unsigned threads = 0);

/// Reads run.toml alone: a run without its sweeps. Throws as read_run.
Run read_run_toml(const std::filesystem::path& folder);

/// Writes run.toml and sweeps/*.csv in the run's own unit, so that read_run gives the same run back. Lengths
/// in sweeps carry as many decimals as the rig's resolution has (7 where none is given), and more where a
/// reading needs them. The folder appears whole or not at all; throws IoError when it can't be written or
/// already holds a run, and DataError when read_run would refuse the run.
void write_run(const Run& run, const std::filesystem::path& folder);

}  // namespace lobewright
