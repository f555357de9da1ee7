// replay_sweeps.hpp: the sweeps of a capture, remade from its bytes by the same decoder and the same state machine that made
// them live: the same rows, marks and notes, and so the same files.
#pragma once

#include <filesystem>
#include <string>
#include <utility>
#include <vector>

#include "rig/capture/capture_reader.hpp"
#include "rig/session/bench.hpp"

namespace lobewright {

struct ReplayedSweep {
    TakenSweep taken;
    bool settled = false;  // the session wrote it: the capture says that it stands in the run, or went aside
    bool cut_off = false;  // the capture ends within it
};

struct ReplayedCapture {
    CaptureContents contents;
    std::vector<ReplayedSweep> sweeps;  // in the order in which they ended
    bool closed = false;                // the session came to its end with nothing left to write
};

/// Throws as read_capture does, and DataError for a session's note that can't be read.
ReplayedCapture replay_sweeps(const std::filesystem::path& capture,
                              PastDamage past_damage = PastDamage::refuse);

}  // namespace lobewright
