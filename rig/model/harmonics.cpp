#include "rig/model/harmonics.hpp"

#include <algorithm>

#include "analysis/units.hpp"

namespace lobewright {

void HarmonicSum::add(const Harmonic& harmonic, double zero_deg, double factor, double factor_per_mm) {
    terms_.resize(std::max(terms_.size(), static_cast<std::size_t>(harmonic.n)));
    const double phase = rad_from_deg(harmonic.phase_deg + harmonic.n * zero_deg);
    const double c = harmonic.amplitude_mm * std::cos(phase);
    const double s = harmonic.amplitude_mm * std::sin(phase);
    Term& term = terms_[static_cast<std::size_t>(harmonic.n) - 1];
    term.cos += factor * c;
    term.sin += factor * s;
    term.cos_per_mm += factor_per_mm * c;
    term.sin_per_mm += factor_per_mm * s;
}

Section HarmonicSum::at(const Turned& angle) const {
    Section sum;
    double c = 1.0;
    double s = 0.0;
    double n = 0.0;
    for (const Term& term : terms_) {
        const double turned = c * angle.cos - s * angle.sin;
        s = s * angle.cos + c * angle.sin;
        c = turned;
        n += 1.0;
        const double h = term.cos * c + term.sin * s;
        const double h_per_mm = term.cos_per_mm * c + term.sin_per_mm * s;
        sum.middle += {h, n * (term.sin * c - term.cos * s), -n * n * h};
        sum.per_mm += {h_per_mm, n * (term.sin_per_mm * c - term.cos_per_mm * s), -n * n * h_per_mm};
    }
    return sum;
}

}  // namespace lobewright
