#include "analysis/card/card_figure.hpp"

#include <cmath>

namespace lobewright {

UncertaintyTerms combined_terms(const UncertaintyTerms& a, double factor_a, const UncertaintyTerms& b,
                                double factor_b) {
    const double fa = std::abs(factor_a), fb = std::abs(factor_b);
    UncertaintyTerms out;
    for (const UncertaintySource& source : uncertainty_sources) {
        out.*source.part = std::hypot(fa * a.*source.part, fb * b.*source.part);
    }
    for (const auto part : {&UncertaintyTerms::indicator, &UncertaintyTerms::smoothing,
                            &UncertaintyTerms::datum, &UncertaintyTerms::temperature}) {
        out.*part = fa * a.*part + fb * b.*part;
    }
    out.degrees_of_freedom = a.degrees_of_freedom + b.degrees_of_freedom;
    out.drift_degrees_of_freedom = a.drift_degrees_of_freedom + b.drift_degrees_of_freedom;
    return out;
}

}  // namespace lobewright
