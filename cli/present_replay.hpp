// present_replay.hpp: what a capture holds, as a screen and as one JSON object.
#pragma once

#include <string>

#include "rig/session/replay_sweeps.hpp"

namespace lobewright {

std::string present_replay(const std::string& capture, const ReplayedCapture& replayed);

/// "lobewright-replay/1".
std::string present_replay_json(const ReplayedCapture& replayed);

}  // namespace lobewright
