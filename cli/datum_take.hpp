// datum_take.hpp: the front-to-rear zero taken at the bench, on a true parallel laid under both tips a few times.
#pragma once

#include <string>
#include <vector>

#include "analysis/datum/datum_estimate.hpp"
#include "analysis/datum/seating.hpp"
#include "analysis/run/run.hpp"
#include "cli/rig_side.hpp"

namespace lobewright {

/// Asks for the parallel to be laid `seatings` times and reads it each time; the bytes go into the run's captures. Throws
/// DeviceError when no readings come, UsageError when the questions are left unanswered.
std::vector<Seating> take_seatings(const Run& run, const RigSideOptions& rig, int seatings);

/// What was taken and what becomes of it, in the run's units.
std::string present_seatings(const std::vector<Seating>& seatings, const DatumEstimate& zero, const Run& run);

}  // namespace lobewright
