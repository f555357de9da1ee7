// sample_runs.hpp: the runs of sample_runs/, as the models they are written
// from, so that a test knows their truth.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "rig/model/simulate.hpp"

namespace lobewright {

/// One invented run; its folder is named by plan.info.id.
struct SampleRun {
    CamModel cam;
    RigModel rig;
    HandModel hand;
    Faults faults;
    RunPlan plan;
    std::uint64_t seed = 0;
};

/// All of them, each reference before what is compared with it. sample_runs/README.md says what each shows.
std::vector<SampleRun> sample_runs();

/// The one called `id`; throws NoInputError when there is none.
SampleRun sample_run(const std::string& id);

/// The run itself.
Run simulate_run(const SampleRun& sample);

}  // namespace lobewright
