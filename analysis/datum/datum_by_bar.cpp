#include "analysis/datum/datum_by_bar.hpp"

#include <cmath>
#include <stdexcept>

#include <boost/math/distributions/students_t.hpp>

#include "analysis/constants.hpp"

namespace lobewright {

DatumEstimate datum_by_bar(const std::vector<double>& rear_minus_front_mm, double step_mm) {
    if (rear_minus_front_mm.size() < 2)
        throw std::domain_error("a zero by a parallel needs two seatings or more");
    if (!(step_mm >= 0.0)) throw std::domain_error("an indicator's step is 0 or more");
    const auto n = static_cast<double>(rear_minus_front_mm.size());
    double mean = 0.0;
    for (const double seating : rear_minus_front_mm) mean += seating / n;
    double squares = 0.0;
    for (const double seating : rear_minus_front_mm) squares += (seating - mean) * (seating - mean);
    const double student = boost::math::quantile(boost::math::students_t(n - 1.0), 0.975) / normal_95;
    const double scatter = student * std::sqrt(squares / (n - 1.0) / n);
    const double rounding = step_mm * std::sqrt(2.0 / 12.0);
    return {"parallel at the bench", mean, std::hypot(scatter, rounding)};
}

}  // namespace lobewright
