// slow_walk.hpp: readings that wander while a lobe is swept: how strong the wander is, told from turns over the same
// angles, and what it does to the curve.
//
// Model    Both indicators together, and each its own way (half of rear less front), walk at random from where they stood
//          when the sweep began: increments independent, of variance q dt, t in turns of the sweep (a Wiener process;
//          spectrum 1/f^2). A figure that is a weighted sum of readings gets from it  q w' G w,  G the covariance of the
//          walk through all that is linear on the way to the curve: the mean over turns, and the passes' offsets and
//          steady drift that were taken off.
// Strength q by restricted likelihood (H. D. Patterson, R. Thompson, Biometrika 58 (1971), from memory): of all that turns
//          over the same angles differ by, offsets and steady drift left free. All lobes of a run speak of one rig.
// Units    mm, turns.
#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include "analysis/lobe/legs.hpp"

namespace lobewright {

/// What both indicators read alike, or half of what they read apart.
enum class Wander { alike, apart };

/// Strengths that the likelihood is reckoned at, mm^2 a turn: none, then from 0.001 um a root turn up to 10 um.
const std::vector<double>& walk_strengths();

/// What one lobe's turns say of the walk, by enum Wander: log likelihood at walk_strengths, 0 where they say nothing.
struct WalkEvidence {
    std::array<std::vector<double>, 2> log_likelihood;
    void add(const WalkEvidence& other);
};

struct WalkStrength {
    double mm2_per_turn = 0.0;
    double degrees_of_freedom = 0.0;
};

/// Variance of one reading's residual over weight: of what is the indicators' own, and of what the encoder gives both alike.
struct LegNoise {
    double own = 1.0;
    double encoder = 1.0;
    std::vector<double> angle_share;  // per knot interval
};

/// What is done to a lobe's curve on its way, on equal stretches of the turn.
struct WalkOnCurve {
    std::size_t stretches = 0;       // round the turn; 0: the rig isn't known to walk (a table)
    std::vector<double> covariance;  // stretches x stretches, of the curve for a walk of unit strength
    std::vector<double> offsets;  // the same, mm^2: what noise leaves in the offsets and the drift taken off
    /// w' covariance w of weights that are summed over the stretches.
    [[nodiscard]] double gain(const std::vector<double>& weights) const;
    [[nodiscard]] double offsets_gain(const std::vector<double>& weights) const;
};

WalkOnCurve walk_on_curve(const Legs& legs, std::size_t passes);

/// `legs` before or after the offsets were taken off.
WalkEvidence walk_evidence(const Legs& legs, std::size_t passes, const LegNoise& noise);

/// The strength that the evidence speaks for. `usual_mm` is what a rig is taken to walk in a turn where nothing speaks.
WalkStrength walk_strength(const WalkEvidence& evidence, Wander wander, double usual_mm);

}  // namespace lobewright
