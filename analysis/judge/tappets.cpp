#include "analysis/judge/tappets.hpp"

#include <algorithm>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace lobewright {
namespace {

/// Lobes of a run that name this tappet.
std::vector<std::string> lobes_of(const Run& run, const std::string& tag) {
    std::vector<std::string> names;
    for (const Lobe& lobe : run.lobes) {
        if (lobe.tappet == tag) names.push_back(lobe.name);
    }
    return names;
}

/// Why a tappet is known to have run on more than one lobe, or can't be told apart; "" when nothing speaks against it.
std::string doubt(const Run* reference, const Run& used, const Lobe& lobe) {
    const std::string& tag = *lobe.tappet;
    const auto now = lobes_of(used, tag);
    if (now.size() > 1) {
        return fmt::format("its tag stands on {}: which of them it ran on can't be told",
                           fmt::join(now, " and "));
    }
    if (reference == nullptr) return "";
    const auto before = lobes_of(*reference, tag);
    if (before.empty() || std::find(before.begin(), before.end(), lobe.name) != before.end()) return "";
    return fmt::format("it ran on {} in the reference run and on {} in the used one",
                       fmt::join(before, " and "), lobe.name);
}

TappetPlace place_of(const Run* reference, const Run& used, const Lobe& lobe, Verdict verdict, Verdict cam,
                     bool all_ground) {
    TappetPlace out{lobe.name, *lobe.tappet, TappetFate::away, doubt(reference, used, lobe)};
    if (cam == Verdict::scrap) {
        out.why = "the cam is scrap, and another cam's lobes want new tappets";
    } else if (all_ground) {
        out.why = "every reground lobe gets a new tappet";
    } else if (verdict >= Verdict::regrind) {
        out.why = "its lobe isn't fit";
    } else if (out.why.empty()) {
        out.fate = verdict == Verdict::remeasure ? TappetFate::wait
                   : cam >= Verdict::regrind     ? TappetFate::only_as_is
                                                 : TappetFate::back;
    }
    return out;
}

}  // namespace

std::vector<TappetPlace> place_tappets(const Run* reference, const Run& used,
                                       const std::vector<LobeJudgement>& judged, Verdict cam,
                                       bool all_ground) {
    std::vector<TappetPlace> places;
    for (const Lobe& lobe : used.lobes) {
        const auto own = std::find_if(judged.begin(), judged.end(),
                                      [&](const LobeJudgement& j) { return j.name == lobe.name; });
        if (!lobe.tappet || own == judged.end()) continue;
        places.push_back(place_of(reference, used, lobe, own->verdict, cam, all_ground));
    }
    return places;
}

void note_tappets(const std::vector<TappetPlace>& places, std::vector<LobeJudgement>& judged) {
    for (const TappetPlace& place : places) {
        const auto own = std::find_if(judged.begin(), judged.end(),
                                      [&](const LobeJudgement& j) { return j.name == place.lobe; });
        if (own == judged.end() || place.fate == TappetFate::back) continue;
        if (place.fate == TappetFate::away) {
            own->notes.push_back(fmt::format("tappet {} must not go back: {}", place.tag, place.why));
        } else if (place.fate == TappetFate::wait) {
            own->notes.push_back(
                fmt::format("tappet {} stays with this lobe until it has been measured again", place.tag));
        } else {
            own->notes.push_back(fmt::format(
                "tappet {} goes back on this lobe alone, and only if the lobe isn't ground", place.tag));
        }
    }
}

}  // namespace lobewright
