// harmonics.hpp: small sums of undulations round a cam: heel form, journal
// roundness, V-block motion, eccentricity.
#pragma once

#include <cstddef>
#include <vector>

#include "rig/model/support.hpp"

namespace lobewright {

/// amplitude cos(n angle - phase): n undulations a turn, the first crest at phase_deg / n.
struct Harmonic {
    int n = 0;
    double amplitude_mm = 0.0;
    double phase_deg = 0.0;
};

/// A sum of harmonics, each of which may change linearly along z.
class HarmonicSum {
public:
    /// Adds `factor` + `factor_per_mm` z times the harmonic; n >= 1.
    /// `zero_deg` is where its angle counts from.
    void add(const Harmonic& harmonic, double zero_deg, double factor, double factor_per_mm = 0.0);

    /// The sum and its derivatives at an angle; cost grows with the highest n.
    [[nodiscard]] Section at(const Turned& angle) const;

private:
    struct Term {  // cosine and sine parts at mid-lobe and per mm
        double cos = 0.0;
        double sin = 0.0;
        double cos_per_mm = 0.0;
        double sin_per_mm = 0.0;
    };
    std::vector<Term> terms_;  // index n - 1
};

}  // namespace lobewright
