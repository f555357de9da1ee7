// datum_report.hpp: all that is known of a run's front-to-rear zero: the run's own datum, further readings, a turned cam,
// journals and lobes, and what they say together.
#pragma once

#include <optional>
#include <vector>

#include "analysis/datum/datum_estimate.hpp"
#include "analysis/run/run.hpp"
#include "analysis/support/bench_set_up.hpp"

namespace lobewright {

struct DatumReport {
    RunInfo run;
    Units units = Units::mm;
    std::optional<DatumInfo> own;           // as it stands in the run
    std::vector<DatumEstimate> estimates;   // readings of the zero: the run's own first
    std::vector<DatumEstimate> checks;      // journals and lobes: they watch the zero, they don't make it
    std::optional<CombinedDatum> together;  // of the estimates
    DatumMethod method = DatumMethod::bar;  // of the combined one: end for end only where all are
};

/// `turned`: the run of the cam turned end for end, or none. Throws what inspect_run and datum_end_for_end throw.
DatumReport datum_report(const Run& run, const Run* turned, const std::vector<DatumEstimate>& bars,
                         const BenchSetUp& set_up = {});

}  // namespace lobewright
