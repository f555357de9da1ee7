#include "rig/model/rig_model.hpp"

#include <cmath>
#include <numbers>

namespace lobewright {

IndicatorError::IndicatorError(double limit_mm, double range_mm, Random& random)
    : limit_mm_(limit_mm),
      rad_per_mm_(std::numbers::pi * random.uniform(2.0, 6.0) / range_mm),
      cosine_(random.normal()),
      sine_(random.normal()) {}

double IndicatorError::at(double reading_mm) const {
    if (limit_mm_ == 0.0) return 0.0;
    const double x = rad_per_mm_ * reading_mm;
    return limit_mm_ * std::erf((cosine_ * std::cos(x) + sine_ * std::sin(x)) / std::numbers::sqrt2);
}

}  // namespace lobewright
