// card_figure.hpp: a figure of one lobe that is later set against another lobe's, and so keeps what its u95 is made of.
#pragma once

#include "analysis/measured.hpp"
#include "analysis/uncertainty/influence.hpp"

namespace lobewright {

struct CardFigure {
    Measured measured;
    UncertaintyTerms terms;
};

/// A figure of these terms.
inline CardFigure card_figure(double value, const UncertaintyTerms& terms) {
    return {{value, terms.expanded()}, terms};
}

/// factor_a a + factor_b b of two lobes read with the same indicators. Their own error, the spline's smoothing and
/// growth may stand in both alike, with any sign of effect: they add in full. The rest is each lobe's own.
UncertaintyTerms combined_terms(const UncertaintyTerms& a, double factor_a, const UncertaintyTerms& b,
                                double factor_b);

}  // namespace lobewright
