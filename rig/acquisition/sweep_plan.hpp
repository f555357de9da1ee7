// sweep_plan.hpp: what a sweep is to be of, and when it is whole. All that is needed to remake the sweep from a rig's
// events, so it is written into the capture where the sweep begins.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "analysis/units.hpp"

namespace lobewright {

struct SweepPlan {
    std::string of;  // lobe or journal
    int pass = 1;
    bool journal = false;                 // one indicator is enough
    Units units = Units::mm;              // of the run folder
    std::optional<double> resolution_mm;  // the indicators' step
    std::int64_t counts_per_rev = 0;
    int direction = 1;
    double zero_deg = 0.0;  // cam angle at the index mark
    bool index = true;      // the encoder has an index mark

    /// Finest gap: curves are fitted with knots a few degrees apart; a wider hole than 1 degree is noted by the analysis.
    double most_gap_deg = 1.0;
    /// What must be read twice, for drift: a tenth of it would compare too few readings, ten times as much tires the hand.
    double overlap_deg = 10.0;
    /// Coupling and drive have so much play together (docs/measuring.md section 1); turned back further is told.
    double most_back_deg = 1.0;
    /// Time doubt times speed: 0.05 degrees on a flank of 0.2 mm a degree is 0.01 mm.
    double most_doubt_deg = 0.05;
    /// Drift over a turn that is told: as large as the least taper that turns a tappet (common practice, no source).
    double most_drift_mm = 0.005;
    /// What indicators and link can follow, where known.
    std::optional<double> most_deg_per_s;
};

}  // namespace lobewright
