// student.hpp: the factor from a standard uncertainty to 95 %.
#pragma once

#include <boost/math/distributions/students_t.hpp>

namespace lobewright {

/// Student's t, two-sided 95 %, at these degrees of freedom (at least one).
inline double t95(double degrees_of_freedom) {
    const double known = degrees_of_freedom > 1.0 ? degrees_of_freedom : 1.0;
    return boost::math::quantile(boost::math::students_t(known), 0.975);
}

}  // namespace lobewright
