// plan_cam.hpp: from lobes that were tried one by one to what is done with the cam.
#pragma once

#include <string>
#include <vector>

#include "analysis/regrind/regrind_cam.hpp"

namespace lobewright {

/// Each profile held against all lobes of a kind: what fits first, the largest lift first, kind by kind. `tried` is by
/// profile and lobe.
std::vector<ProfileFit> rank_profiles(const std::vector<std::vector<RegroundLobe>>& tried);

/// Every lobe with the first profile of its kind in the ranking; where none fits, with the one that needs the least.
std::vector<RegroundLobe> best_of(const std::vector<std::vector<RegroundLobe>>& tried,
                                  const std::vector<ProfileFit>& ranking);

/// What the lobes were ground to.
struct PlanTarget {
    std::string name;
    std::vector<ProfileFit> ranking;
    std::vector<std::string> notes;
};

/// Depth, verdict, timing, valve train and notes of the whole cam. `reference` may be none.
RegrindPlan plan_cam(const CamFigures& figures, std::vector<RegroundLobe> lobes, PlanTarget target,
                     const Run& used, const Run* reference, const RegrindOptions& options);

}  // namespace lobewright
