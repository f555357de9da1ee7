// taper_figures.hpp: taper round one lobe of one run, and the arc over which it is gone (docs/figures.md,
// docs/measuring.md section 4).
#pragma once

#include <optional>
#include <vector>

#include "analysis/figures.hpp"
#include "analysis/lobe/lobe_view.hpp"

namespace lobewright {

/// Taper figures; `datum` is the run's front-to-rear zero, or none.
TaperFigures taper_figures(const LobeView& view, const std::optional<DatumInfo>& datum);

/// Taper round the lobe on the grid (mm over the width): absolute with a datum, otherwise less the base
/// circle's.
std::vector<double> taper_curve(const LobeView& view, const std::optional<DatumInfo>& datum);

/// A weighted sum of the taper curve, its u95 under `name` in the budget; `absolute`: the run has a datum.
Measured taper_sum(const LobeView& view, const char* name, const std::vector<double>& taper,
                   const std::vector<double>& weights, bool absolute);

/// The unbroken arc about the guide's centreline where the taper's size is below `limit_mm`, with u95 from
/// the arcs at the limit plus and minus the taper's own uncertainty. Unknown without a datum.
Measured flat_arc(const LobeView& view, const std::optional<DatumInfo>& datum, double limit_mm);

}  // namespace lobewright
