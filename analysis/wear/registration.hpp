// registration.hpp: lays a reference lobe over the used one (docs/measuring.md section 5; docs/figures.md,
// `phase_shift_deg`).
//
// Model    used_c(theta) = reference_c(theta - delta) - wear,  each above its own base circle on one common
// heel arc. Fit      delta by least squares over both edges where the reference lift is 20 to 80 % of its
// largest, by
//          Gauss-Newton. The heel's own form stands in both runs over the same arc and cancels.
#pragma once

#include <memory>
#include <string>

#include "analysis/lobe/lobe_view.hpp"

namespace lobewright {

/// Both lobes on the used run's grid, and the shift that laid them over each other.
struct Registered {
    GridArc heel;  // the arc that is heel in both runs
    double delta_rad = 0.0;
    LobeOnGrid used;
    LobeOnGrid reference;
    LobeLandmarks used_marks;
    LobeLandmarks reference_marks;
    Influence delta;  // of delta in rad
};

/// Throws DataError naming the lobe when the two heels don't lie over each other, or as check_same_lobe does.
Registered register_lobes(const LobeCurve& reference, const LobeCurve& used,
                          const LobeGeometry& reference_geometry, const LobeGeometry& used_geometry);

}  // namespace lobewright
