#include "analysis/datum/datum_report.hpp"

#include "analysis/compare.hpp"
#include "analysis/datum/datum_findings.hpp"

namespace lobewright {

DatumReport datum_report(const Run& run, const Run* turned, const std::vector<DatumEstimate>& bars,
                         const BenchSetUp& set_up) {
    DatumReport out;
    out.run = run.info;
    out.units = run.units;
    out.own = run.datum;
    bool all_turned = bars.empty();
    if (run.datum && run.datum->u_mm > 0.0) {
        out.estimates.push_back({"the run's own", run.datum->rear_minus_front_mm, run.datum->u_mm});
        all_turned = all_turned && run.datum->method == DatumMethod::end_for_end;
    }
    out.estimates.insert(out.estimates.end(), bars.begin(), bars.end());
    if (turned != nullptr) out.estimates.push_back(datum_end_for_end(run, *turned, set_up));
    if (!out.estimates.empty()) out.together = combined(out.estimates);
    if (all_turned) out.method = DatumMethod::end_for_end;
    AnalysisOptions options;
    options.used = set_up;
    if (const auto journals = datum_by_journals(run)) out.checks.push_back(*journals);
    if (const auto lobes = datum_by_lobes(run, inspect_run(run, options).lobes)) out.checks.push_back(*lobes);
    return out;
}

}  // namespace lobewright
