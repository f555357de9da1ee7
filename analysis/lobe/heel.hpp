// heel.hpp: finds a lobe's heel, the arc of its base circle, without being told where it is (docs/measuring.md
// section 3).
#pragma once

#include <span>

#include "analysis/curve/sinusoid.hpp"

namespace lobewright {

/// What the search allows; see heel.cpp for why each value.
struct HeelOptions {
    double form_allowance_mm =
        0.0015;  // departure from a circle that still counts as heel, doubled while needed
    double least_arc_deg = 100.0;
    double margin_deg = 3.0;  // taken off either end, where a gentle ramp hides below the allowance
};

/// The heel of a curve on a uniform grid round the turn (mid-width readings, mm; at least 72 points).
/// `noise_mm` is the standard deviation of the curve's values. Grows outward from the lowest stretch while
/// the residual of c0 + a cos + b sin stays inside what noise and form allow; the allowance is doubled until
/// the arc is long enough. Throws std::domain_error when no stretch is flat enough to be a heel.
GridArc find_heel(std::span<const double> values_mm, double noise_mm, const HeelOptions& options = {});

}  // namespace lobewright
