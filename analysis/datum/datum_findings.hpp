// datum_findings.hpp: what runs themselves say of the front-to-rear zero: by a cam turned end for end, by journals read
// with both indicators, by lobes ground to either side (docs/measuring.md section 4).
#pragma once

#include <optional>
#include <vector>

#include "analysis/datum/datum_estimate.hpp"
#include "analysis/figures.hpp"
#include "analysis/run/run.hpp"
#include "analysis/support/bench_set_up.hpp"

namespace lobewright {

/// By the cam swept, turned end for end, and swept again. On each heel rear less front is slope x (rear_z - front_z) +
/// zero; turned, the indicators have changed places along the lobe (front_z > rear_z in that run), so that the slope
/// changes its sign and the zero doesn't. The mean over the lobes that both runs have; u from their scatter, or from the
/// readings' own uncertainty where that is larger.
/// Throws DataError when the runs have no lobe in common, or the indicators stand the same way round in both.
DatumEstimate datum_end_for_end(const Run& run, const Run& turned, const BenchSetUp& set_up = {});

/// By journals that were swept with both indicators: both read the same cylinder. u holds the scatter from journal to
/// journal and 0.0005 mm for what a journal may be tapered by between the tips (common practice, no source). None when no
/// journal was read by both.
std::optional<DatumEstimate> datum_by_journals(const Run& run);

/// By lobes of an unworn cam (condition new or before) that are high to either side: what the zero would have to be for
/// both kinds to be tapered alike. None without a datum to start from, on worn cams, or with fewer than two lobes on
/// either side.
std::optional<DatumEstimate> datum_by_lobes(const Run& run, const std::vector<LobeFigures>& lobes);

/// A note where journals or lobes say that the run's datum has drifted: they lie off it by more than twice what both
/// uncertainties allow.
std::vector<std::string> datum_doubts(const Run& run, const std::vector<LobeFigures>& lobes);

}  // namespace lobewright
