// reground_lobe.hpp: one ground lobe held against what must be left of it (docs/regrind.md).
#pragma once

#include <optional>

#include "analysis/regrind/regrind_cam.hpp"

namespace lobewright {

/// What a lobe's regrind is judged by.
struct LobeMetal {
    std::optional<double> base_diameter_mm;  // by micrometer, before
    std::optional<double> case_depth_mm;     // below the new surface
    bool flat_follower = true;
};

/// What grinding by `stock_mm` would leave of the lobe. Without proof that enough is left `possible` is false.
Regrind judge_ground(const GroundLobe& ground, const Measured& stock_mm, const LobeMetal& metal,
                     const RuleContext& context);

/// Fills what is left, its rules and the lobe's notes.
void judge_lobe_left(RegroundLobe& lobe, const LobeMetal& metal, const RuleContext& context);

}  // namespace lobewright
