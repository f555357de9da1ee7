// random_rig.hpp: a bench of a kind, drawn: encoder, set-up, indicators and drift.
#pragma once

#include "rig/model/random.hpp"
#include "rig/model/rig_model.hpp"
#include "tests/coverage/coverage_study.hpp"

namespace lobewright {

/// Readings of each indicator scatter by `noise_mm` (standard deviation).
RigModel random_rig(const CoverageOptions& options, double noise_mm, Random& random);

}  // namespace lobewright
