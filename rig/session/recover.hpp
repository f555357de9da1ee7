// recover.hpp: after a killed program or a power cut: sweeps that the captures hold and the run doesn't, remade from bytes.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "rig/session/sweep_session.hpp"
#include "rig/session/sweep_store.hpp"

namespace lobewright {

struct Recovered {
    std::vector<SweepOutcome> sweeps;  // written now
    std::vector<std::string> says;     // captures that were cut off or damaged, a line each
};

/// Looks through the run's captures for sessions that never came to their end, and writes the sweeps that those began and
/// never wrote: into the run when they hold enough, else aside. What was done is kept as NAME.recovered beside the capture, so
/// that it is done once. Throws IoError when the disk won't; a capture that can't be read is told, not thrown.
Recovered recover_sweeps(SweepStore& store, const std::filesystem::path& run_folder);

/// Keeps others from making the same run at once, for as long as it lives. Throws IoError when another does.
class RunLock {
public:
    explicit RunLock(const std::filesystem::path& run_folder);
    ~RunLock();
    RunLock(const RunLock&) = delete;
    RunLock& operator=(const RunLock&) = delete;

private:
    int descriptor_ = -1;
};

}  // namespace lobewright
