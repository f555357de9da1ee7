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

/// Least squares over everything that was swept more than once; what wasn't stays at zero.
std::vector<PassOffset> pass_offsets(const Legs& legs, std::size_t passes);

/// Ratio of the scatter between legs to what their weights promise, at least 1: the factor by which
/// correlation along the sweep makes the effective number of samples smaller than their number. Looks at
/// stretches of half a degree, 4 and 20 degrees and takes the worst; `use[interval]` limits it to a region.
double correlation_factor(const Legs& legs, const std::vector<char>& use);

/// What both indicators read alike, or half of what they read apart.
enum class Wander { alike, apart };

/// Standard deviation of slow wander between legs, mm, from stretches of 20 degrees on the heel: the scatter
/// above what the weights promise. Where little was swept twice it is drawn toward `prior_mm`.
double slow_wander_mm(const Legs& legs, const std::vector<char>& heel, double prior_mm,
                      Wander wander = Wander::alike);

}  // namespace lobewright
