// tappets.hpp: which tappet goes back where (common practice, no source: a run-in tappet belongs to its lobe alone, and a
// reground lobe gets a new one).
#pragma once

#include <string>
#include <vector>

#include "analysis/judge/judgement.hpp"
#include "analysis/run/run.hpp"

namespace lobewright {

enum class TappetFate {
    back,        // on its own lobe
    only_as_is,  // on its own lobe, unless the lobe is ground with the others
    wait,        // kept with its lobe until that has been measured again
    away,        // must not go back
};

struct TappetPlace {
    std::string lobe;
    std::string tag;
    TappetFate fate = TappetFate::wait;
    std::string why;  // of one that must not go back
};

/// Where each tagged tappet of the used run goes, in its lobe order; lobes without a tag have no entry. `reference` may
/// be none. `cam` is what is done with the cam; `all_ground`: then every lobe is ground, whatever its own verdict.
std::vector<TappetPlace> place_tappets(const Run* reference, const Run& used,
                                       const std::vector<LobeJudgement>& judged, Verdict cam,
                                       bool all_ground);

/// Writes what doesn't simply go back among the notes of the lobes.
void note_tappets(const std::vector<TappetPlace>& places, std::vector<LobeJudgement>& judged);

}  // namespace lobewright
