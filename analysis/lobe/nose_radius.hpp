// nose_radius.hpp: how sharp a lobe's nose is in one run (docs/figures.md).
#pragma once

#include <optional>

#include "analysis/figures.hpp"
#include "analysis/lobe/lobe_view.hpp"

namespace lobewright {

/// Mean radius of curvature within 10 degrees of the guide's centreline; unknown without the base diameter.
Measured nose_radius(const LobeView& view, const std::optional<double>& base_diameter_mm);

}  // namespace lobewright
