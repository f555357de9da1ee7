#include "rig/model/rig_model.hpp"

#include <cmath>
#include <numbers>

namespace lobewright {

IndicatorError::IndicatorError(double limit_mm, double range_mm, Random& random)
    : amplitude_mm_(random.uniform(-limit_mm, limit_mm)),
      rad_per_mm_(std::numbers::pi * random.uniform(1.0, 3.0) / range_mm),
      phase_rad_(random.uniform(0.0, 2.0 * std::numbers::pi)) {}

double IndicatorError::at(double reading_mm) const {
    return amplitude_mm_ == 0.0 ? 0.0 : amplitude_mm_ * std::cos(rad_per_mm_ * reading_mm + phase_rad_);
}

}  // namespace lobewright
