#include "cli/say_result.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "analysis/judge/wording.hpp"
#include "cli/output.hpp"
#include "cli/words.hpp"

namespace lobewright {
namespace {

/// The rule's name as a column has room for it.
std::string_view short_name(std::string_view rule) {
    constexpr std::string_view prefix = "base-circle ";
    return rule.substr(0, prefix.size()) == prefix ? rule.substr(prefix.size()) : rule;
}

/// "T1 on 1E, T2 on 1I": the tagged tappets that go back on their lobes.
std::string tappet_places(const Result& result) {
    std::vector<std::string> places;
    for (const TappetPlace& place : result.tappets) {
        if (place.fate != TappetFate::back) continue;
        places.push_back(fmt::format("{} on {}", one_line(place.tag), one_line(place.lobe)));
    }
    return fmt::format("{}", fmt::join(places, ", "));
}

/// What would settle the open rules.
std::vector<std::string> steps_to_settle(const Result& result) {
    bool wants_datum = false;
    std::vector<std::string> wants_passes;
    std::vector<std::string> wants_looking;
    for (std::size_t i = 0; i < result.judgement.lobes.size(); ++i) {
        const LobeJudgement& lobe = result.judgement.lobes[i];
        const bool no_datum = result.figures.lobes[i].taper.datum != TaperDatum::mastered;
        for (const Ruling& ruling : lobe.rulings) {
            if (ruling.proof != Proof::open) continue;
            const bool taper_unknown = no_datum && !ruling.figure.known() && ruling.rule.ends_with("taper");
            wants_datum = wants_datum || taper_unknown;
            if (taper_unknown) continue;
            std::vector<std::string>& names = ruling.figure.known() ? wants_passes : wants_looking;
            if (names.empty() || names.back() != lobe.name) names.push_back(one_line(lobe.name));
        }
    }
    std::vector<std::string> steps;
    if (wants_datum) {
        steps.emplace_back(
            "set the front-to-rear zero (both indicators on a true parallel, or the cam swept end for end) "
            "and "
            "sweep again");
    }
    if (!wants_passes.empty()) {
        steps.push_back(fmt::format("take more passes, or use indicators with a smaller error limit, on {}",
                                    fmt::join(wants_passes, ", ")));
    }
    if (!wants_looking.empty()) {
        steps.push_back(fmt::format("see with --lobe NAME why a figure is missing on {}",
                                    fmt::join(wants_looking, ", ")));
    }
    if (steps.empty()) steps.emplace_back("sweep the journals again: only the bend is open");
    return steps;
}

}  // namespace

std::string decided_by(const Ruling& ruling, Units units) {
    if (!ruling.figure.known()) return fmt::format("{} unknown", short_name(ruling.rule));
    const bool above = ruling.at_least == (ruling.proof == Proof::good);
    const char* side = ruling.proof == Proof::open ? "~" : above ? ">" : "<";
    return fmt::format("{} {} {} {}", short_name(ruling.rule), say_cell(ruling.figure.value, units), side,
                       say_cell(ruling.limit_mm, units));
}

std::vector<std::string> next_steps(const Result& result) {
    switch (result.judgement.verdict) {
        case Verdict::reuse: {
            const std::string places = tappet_places(result);
            return {
                fmt::format("put each tappet back on its own lobe{}{}", places.empty() ? "" : ": ", places)};
        }
        case Verdict::remeasure:
            return steps_to_settle(result);
        case Verdict::regrind:
            if (result.figures.used.condition == Condition::after) {
                return {"don't run it again as it is: the cam wants grinding and new or refaced tappets",
                        "before the next run-in see to the oil (an anti-wear zinc additive), the springs' "
                        "load, tappets "
                        "that turn freely in their bores, and their crown",
                        "change oil and filter: they hold the metal that came off",
                        "plan the regrind: lobewright regrind says how deep, and writes the grinder's "
                        "tables; measure the ground "
                        "cam before it goes in"};
            }
            return {"plan the regrind: lobewright regrind says how deep, and writes the grinder's tables",
                    "fit new or refaced tappets: a run-in tappet belongs to its old lobe alone",
                    "measure the ground cam before it goes in"};
        case Verdict::scrap:
            break;
    }
    return {"fit another cam with new tappets, and measure it before it goes in as its reference run"};
}

std::string say_verdict(const Result& result) {
    std::string verdict(headline(result.judgement.verdict));
    if (result.judgement.verdict == Verdict::reuse && !result.figures.has_reference) {
        verdict += ", as far as one run alone tells";
    }
    return verdict;
}

std::string say_lobes_behind(const Result& result) {
    const CamJudgement& judgement = result.judgement;
    const auto& lobes = judgement.lobes;
    const auto shared = std::count_if(lobes.begin(), lobes.end(), [&](const LobeJudgement& lobe) {
        return lobe.verdict == judgement.verdict;
    });
    if (shared == 0) return "";
    return fmt::format(": {} of {} lobes", shared, lobes.size());
}

std::string say_because(const Result& result) {
    if (result.judgement.reasons.empty()) return "";
    const CamReason& first = result.judgement.reasons.front();
    const std::string where = first.lobe ? fmt::format("lobe {}: ", one_line(*first.lobe)) : "";
    return where + one_line(first.says);
}

std::string say_caution(const Result& result) {
    const std::string_view passed =
        result.judgement.verdict == Verdict::reuse
            ? "A worn lobe sheds metal into an engine: a pass here is a measurement, not a warranty."
            : "A worn lobe sheds metal into an engine: look for it before anything goes back in.";
    return fmt::format("{} The decision stays with a qualified machinist.", passed);
}

}  // namespace lobewright
