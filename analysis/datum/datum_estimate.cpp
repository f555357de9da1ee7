#include "analysis/datum/datum_estimate.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/complement.hpp>
#include <fmt/format.h>

namespace lobewright {

CombinedDatum combined(const std::vector<DatumEstimate>& estimates) {
    if (estimates.empty()) throw std::domain_error("no finding of the front-to-rear zero to combine");
    double weights = 0.0, sum = 0.0;
    for (const DatumEstimate& estimate : estimates) {
        if (!(estimate.u_mm > 0.0)) {
            throw std::domain_error(fmt::format("{}: its u must be more than 0", estimate.source));
        }
        const double weight = 1.0 / (estimate.u_mm * estimate.u_mm);
        weights += weight;
        sum += weight * estimate.rear_minus_front_mm;
    }
    CombinedDatum out;
    out.rear_minus_front_mm = sum / weights;
    out.u_mm = 1.0 / std::sqrt(weights);
    out.degrees_of_freedom = static_cast<int>(estimates.size()) - 1;
    for (const DatumEstimate& estimate : estimates) {
        const double off = (estimate.rear_minus_front_mm - out.rear_minus_front_mm) / estimate.u_mm;
        out.chi_squared += off * off;
    }
    if (out.degrees_of_freedom == 0) return out;
    const boost::math::chi_squared distribution(out.degrees_of_freedom);
    out.by_chance = boost::math::cdf(boost::math::complement(distribution, out.chi_squared));
    out.agree = out.by_chance >= 0.05;
    out.u_mm *= std::max(1.0, std::sqrt(out.chi_squared / out.degrees_of_freedom));
    return out;
}

}  // namespace lobewright
