// legs.hpp: what differs from turn to turn and from pass to pass of one lobe: zero, set-up, drift. A leg is
// one turn of one sweep; residuals about a common curve are gathered by leg and knot interval, so that all of
// this costs one pass over the samples.
#pragma once

#include <array>
#include <cstddef>
#include <vector>

namespace lobewright {

/// Weighted sums of the residuals of one leg in one knot interval.
struct LegBin {
    double weight = 0.0;
    double front = 0.0;  // sum of w r
    double rear = 0.0;
    double turn = 0.0;  // sum of w (turns since the sweep's middle): the measure of time for drift
};

/// Residuals of all legs; bins[leg][interval].
struct Legs {
    std::size_t intervals = 0;
    std::vector<std::size_t> pass_of;  // leg -> index of its sweep
    std::vector<std::vector<LegBin>> bins;
};

/// Offsets of one sweep from the mean of all: z + a cos + b sin + d turns, front and rear (mm; d mm a turn).
struct PassOffset {
    std::array<double, 4> front{};
    std::array<double, 4> rear{};
    double drift_u_mm = 0.0;  // standard uncertainty of d
};

/// Inverse variance that an offset (0 to 3: z, a, b, d; further ones alike) is expected with at all: a weak prior, which
/// decides only where no turns overlap.
double offset_prior(std::size_t offset);

/// Least squares over everything that was swept more than once; what wasn't stays at zero.
std::vector<PassOffset> pass_offsets(const Legs& legs, std::size_t passes);

/// Ratio of the scatter between legs to what their weights promise, at least `least`: the factor by which correlation along
/// the sweep makes the effective number of samples smaller than their number (above 1) or larger (below 1). Looks at how
/// far neighbouring knot intervals differ otherwise in one leg than in the mean of all: what is slower than that is no
/// noise but wander (slow_walk.hpp). `use[interval]` limits it to a region.
double correlation_factor(const Legs& legs, const std::vector<char>& use, double least);

}  // namespace lobewright
