// simulate.hpp: a cam on a rig under a hand, as a run with known truth. The same arguments give the same run,
// byte for byte, on every machine.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "analysis/run/run.hpp"
#include "rig/model/cam_model.hpp"
#include "rig/model/hand_model.hpp"
#include "rig/model/rig_model.hpp"
#include "rig/model/station.hpp"

namespace lobewright {

/// What goes wrong in one sweep. Travel is the encoder's, in degrees from the sweep's start.
struct Slip {
    std::string of;
    int pass = 1;
    double after_deg = 0.0;
    int counts = 0;  // added to every count from there on
};
struct Gap {
    std::string of;
    int pass = 1;
    double from_deg = 0.0;  // rows between are missing
    double to_deg = 0.0;
};

/// Troubles of a run.
struct Faults {
    double spike_probability = 0.0;  // of each reading
    double spike_mm = 0.05;          // a spike is half to one and a half times this, either way
    std::vector<Slip> slips;
    std::vector<Gap> gaps;
};

/// What the run is called and how often each thing is swept.
struct RunPlan {
    RunInfo info;
    int lobe_passes = 1;
    int journal_passes = 0;
};

/// Sweeps every journal and lobe of the cam. Indicator errors and the datum's error are drawn once a run.
/// Counts are rounded to the nearest count, readings to the step. Throws DataError when the cam fails
/// check(), UsageError when counts are asked for without counts_per_rev.
Run simulate_run(const CamModel& cam, const RigModel& rig, const HandModel& hand, const Faults& faults,
                 const RunPlan& plan, std::uint64_t seed);

/// The two indicators of a rig as drawn for one run: where their readings and the datum go wrong.
struct Indicators {
    IndicatorError front;
    IndicatorError rear;

    Indicators(const RigModel& rig, Random& random);
};

/// One sweep of what is under the tips, rows as rig.sampling says.
Sweep simulate_sweep(const Station& station, const RigModel& rig, const HandModel& hand,
                     const Indicators& indicators, const Faults& faults, const std::string& of, int pass,
                     Random& random);

}  // namespace lobewright
