// result.hpp: all that a command has to show, gathered once: every presentation reads this and nothing else.
#pragma once

#include <vector>

#include "analysis/figures.hpp"
#include "analysis/judge/judgement.hpp"
#include "analysis/judge/limits.hpp"
#include "analysis/judge/tappets.hpp"
#include "analysis/units.hpp"

namespace lobewright {

struct Result {
    CamFigures figures;
    CamJudgement judgement;  // its lobes in the figures' order
    Limits limits;
    Units units = Units::mm;           // what lengths are shown in
    std::vector<TappetPlace> tappets;  // those that have a tag
};

}  // namespace lobewright
