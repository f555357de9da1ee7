#include "analysis/judge/run_in.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "analysis/judge/wording.hpp"
#include "analysis/units.hpp"

namespace lobewright {
namespace {

// Load is greatest on the nose, so that is where a run-in polishes; what lies within this of the centreline counts as it.
constexpr double nose_reach_deg = 25.0;
// Less is the bench's noise or mere polish.
constexpr double worth_saying_mm = 0.005;

bool failed(const LobeJudgement& lobe) {
    return lobe.verdict == Verdict::regrind || lobe.verdict == Verdict::scrap;
}

std::vector<std::string> names_of(const std::vector<LobeJudgement>& lobes, bool (*is)(const LobeJudgement&)) {
    std::vector<std::string> names;
    for (const LobeJudgement& lobe : lobes) {
        if (is(lobe)) names.push_back(lobe.name);
    }
    return names;
}

}  // namespace

std::vector<std::string> run_in_findings(const std::vector<LobeJudgement>& lobes,
                                         const RuleContext& context) {
    if (!after_run_in(context)) return {};
    std::vector<std::string> notes;
    const auto no_taper = names_of(lobes, [](const LobeJudgement& lobe) { return ramps_lost(lobe.rulings); });
    const auto all_failed = names_of(lobes, failed);
    const auto kept = names_of(lobes, [](const LobeJudgement& lobe) { return ramps_hold(lobe.rulings); });
    if (!no_taper.empty()) {
        notes.push_back(fmt::format(
            "the run-in failed on {}: too little taper is left there to turn the tappets, and those "
            "lobes wear out fast",
            fmt::join(no_taper, ", ")));
    }
    if (kept.size() == lobes.size()) {
        notes.emplace_back("the run-in left its taper to every lobe");
    } else if (!kept.empty()) {
        notes.push_back(fmt::format("taper survived the run-in on {}", fmt::join(kept, ", ")));
    }
    if (all_failed.empty()) return notes;
    notes.emplace_back(
        "before another run-in check the oil (an anti-wear zinc additive), the springs' load, that every "
        "tappet turns "
        "freely in its bore, and the tappets' crown");
    notes.push_back(fmt::format("the tappets of {} are finished with: put them on no lobe again",
                                fmt::join(all_failed, ", ")));
    return notes;
}

void note_run_in_wear(std::vector<std::string>& notes, const LobeFigures& lobe, const RuleContext& context) {
    const Measured& depth_mm = lobe.wear.max_depth_mm;
    if (!after_run_in(context) || !context.cam.has_reference || !depth_mm.known() || !lobe.nose_deg.known())
        return;
    if (!(depth_mm.value - depth_mm.u95 > worth_saying_mm)) return;
    const double from_nose_deg = wrapped_deg(lobe.wear.at_deg - lobe.nose_deg.value);
    if (std::abs(from_nose_deg) <= nose_reach_deg) return;
    notes.push_back(
        fmt::format("finding: the run-in took most ({}) {} deg from the nose, on the {} side, and not where "
                    "the load is greatest: "
                    "look for contact on an edge, dirt in the oil, or a rough tappet",
                    say_rounded(depth_mm.value, context.units), fixed(std::abs(from_nose_deg), 0),
                    from_nose_deg < 0.0 ? "opening" : "closing"));
}

}  // namespace lobewright
