// wear_figures.hpp: what a lobe has lost, from the difference of two registered lobes (docs/measuring.md sections 5
// and 9).
#pragma once

#include <optional>

#include "analysis/figures.hpp"
#include "analysis/wear/registration.hpp"
#include "analysis/wear/wear_nodes.hpp"

namespace lobewright {

/// Everything the wear figures need: both lobes registered, both rigs' uncertainty.
struct WearView {
    const Registered& registered;
    const LobeView& used;
    const LobeView& reference;
    LobeGeometry reference_geometry;  // with the used run's width
    double indicator_limit_used_mm = 0.0;
    double indicator_limit_reference_mm = 0.0;
};

WearMap wear_map(const WearView& view);

/// u95 of the wear at one place of one edge, mm; `position` on the grid. That of the smoothed curve: what it holds is a
/// band that a single place lies in, not the whole curve.
double wear_u95_at(const WearView& view, Edge edge, double position);

/// All wear figures but flat_arc and the nose radii, which belong to one run, and the stock to clean up.
struct WearResult {
    WearFigures figures;
    Measured stock_to_clean_mm;
};
WearResult wear_figures(const WearView& view, const WearMap& map,
                        const std::optional<double>& base_diameter_mm);

/// Adds what the phase shift's own uncertainty does to a figure that depends on it: `per_rad` is the figure's
/// change a radian of shift.
void add_phase(const Registered& registered, double per_rad, Influence& influence);

}  // namespace lobewright
