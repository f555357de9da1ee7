// base_circle_figures.hpp: runout, eccentricity and form of one lobe's base circle in one run (docs/figures.md,
// docs/measuring.md section 3).
#pragma once

#include "analysis/figures.hpp"
#include "analysis/lobe/lobe_view.hpp"

namespace lobewright {

BaseCircleFigures base_circle_figures(const LobeView& view);

}  // namespace lobewright
