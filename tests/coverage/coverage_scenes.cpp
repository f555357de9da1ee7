#include "tests/coverage/coverage_scenes.hpp"

namespace lobewright {

const std::vector<CoverageScene>& coverage_scenes() {
    static const std::vector<CoverageScene> scenes{
        {"plain", "indicators good to 0.001 or 0.002 mm, one sweep of up to 2.2 turns", {}},
        {"no-indicator", "indicators without an error of their own", {.indicator_error = false}},
        {"three-passes", "three sweeps a lobe", {.passes = 3}},
        {"wander",
         "indicators that wander by 0.001 mm in a minute, each its own way, and drift; no error of their own",
         {.indicator_error = false, .walk_mm_per_root_min = 0.001}},
        {"v-blocks",
         "rough journals in V-blocks, swept; indicators without an error of their own",
         {.indicator_error = false, .journals = Journals::swept}},
        {"unswept",
         "journals out of round by some 0.002 mm in V-blocks, not swept; indicators without an error",
         {.indicator_error = false, .journals = Journals::unswept}},
        {"table", "rows by hand every 5 degrees", {.table = true}},
        {"round-tip", "roller and point tips, stated for a flat follower", {.round_tip = true}},
        {"coarse-step", "indicators that step by 0.01 mm", {.coarse_step = true}},
    };
    return scenes;
}

}  // namespace lobewright
