// result.hpp: all that a command has to show, gathered once: every presentation reads this and nothing else.
#pragma once

#include <vector>

#include "analysis/along/along_cam.hpp"
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
    std::vector<PlacedWear> along;     // nose wear by place; empty without a reference run
};

}  // namespace lobewright
