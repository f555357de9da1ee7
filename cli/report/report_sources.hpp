// report_sources.hpp: all that a report shows, gathered once: the judged result and what else is worked out for it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "analysis/contact/stripe.hpp"
#include "analysis/contact/thrust_map.hpp"
#include "analysis/lobe/outline.hpp"
#include "analysis/run/run.hpp"
#include "analysis/support/bench_set_up.hpp"
#include "cli/result.hpp"

namespace lobewright {

struct ReportSources {
    const Result* result = nullptr;
    const Run* used = nullptr;
    const Run* reference = nullptr;  // none for a run alone
    std::optional<StripeReport> stripe;
    std::optional<ThrustMap> thrust;
    std::string no_contact;  // why there is neither stripe nor thrust
    // Of the lobes as new, in the figures' order; empty where no base diameter or roller is given.
    std::vector<std::vector<OutlinePoint>> outlines;
};

/// Works out stripe, thrust and outlines for a judged result; what the run doesn't allow is left out, with the reason.
/// `result` and the runs must outlive what is returned.
ReportSources gather_report(const Result& result, const Run* reference, const Run& used,
                            const BenchSetUp& set_up);

}  // namespace lobewright
