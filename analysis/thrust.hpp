// thrust.hpp: where the lobes' tapers push the cam.
#pragma once

#include <vector>

#include "analysis/figures.hpp"

namespace lobewright {

/// Share of the lobes' tapers (mean of opening and closing, docs/figures.md `thrust.share`) that doesn't cancel, and the
/// way it pushes: `balanced` below 0.2 in size, `none` when no lobe has taper, `unknown` where the tapers have no
/// front-to-rear zero (`mastered` false).
ThrustFigures thrust_of(const std::vector<LobeFigures>& lobes, bool mastered);

}  // namespace lobewright
