// least_noise_study.hpp: how much of the readings' white noise reaches the figures, against the least that any method can
// let through.
#pragma once

#include <string>
#include <vector>

#include "analysis/measured.hpp"

namespace lobewright {

/// Deviations of one figure from its truth over the runs, and what it was stated to be known to.
struct Spread {
    int count = 0;
    double squares = 0.0;
    double stated_squares = 0.0;

    void add(const Measured& found, double truth);
    [[nodiscard]] double rms() const;
    [[nodiscard]] double stated() const;  // root mean square of u95/1.96
};

/// One figure's spread beside its limit, in the figure's unit.
struct LeastNoise {
    std::string figure;
    Spread spread;
    double limit = 0.0;

    [[nodiscard]] double ratio() const { return spread.rms() / limit; }
};

inline constexpr double least_noise_sigma_mm = 1e-3;  // of every reading

/// Two runs of one cam of lift 6 mm (4-5-6-7 rise and fall of 60 degrees each), rows every `step_deg`, again and again.
/// The once-per-turn part lies along the heel's middle; for the runout across it, so that its highest and lowest lie on
/// the heel. Figures: phase, lift, loss, nose wear, eccentricity, runout, taper.
std::vector<LeastNoise> least_noise_study(double step_deg, int runs);

}  // namespace lobewright
