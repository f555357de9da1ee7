// follower_motion.hpp: how a follower moves, from its lift: velocity, acceleration and jerk by the cam's angle.
//
// Input     lift, mm, on a uniform grid of n angles round the turn, n a multiple of 720: of a flat follower or a roller,
//           as it was stated for (docs/measuring.md section 6).
// Model     central differences, which are means of the true derivative under a weight that is nowhere negative:
//             velocity      (y(+w/2) - y(-w/2))/w                                   w = 1 deg, an even mean over 1 deg
//             acceleration  (y(+w) - 2 y(0) + y(-w))/w^2                            w = 2 deg, a hat over 4 deg
//             jerk          (y(+3w/2) - 3 y(+w/2) + 3 y(-w/2) - y(-3w/2))/w^3       w = 3 deg, a bell over 9 deg
//           (B-splines as kernels of divided differences: C. de Boor, "A Practical Guide to Splines", from memory.)
//           So none is ever larger than the lobe's own, whatever jumps it has; differences that are exact to a higher
//           order overshoot a jump of acceleration, by an eighth with seven points, and carry more noise.
// Accuracy  what a sharp top loses: w^2/24, w^2/12 and w^2/8 of the second derivative of each. For a rise of 60 degrees
//           by a standard program 0.05 % of velocity, 0.4 % of acceleration, 1.2 % of jerk. White noise sigma on the
//           grid's values gives 81 sigma, 2010 sigma and 31150 sigma (mm/rad, mm/rad^2, mm/rad^3).
// Throws    std::domain_error for a grid that isn't a multiple of 720 points.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace lobewright {

enum class Derivative { velocity, acceleration, jerk };

/// The derivative at the grid's angles, mm per rad, rad^2 or rad^3. Velocity is positive on the opening side when the
/// cam's angle counts in the direction of running.
std::vector<double> follower_motion(std::span<const double> lift_mm, Derivative which);

/// Weights on a grid of n lifts that give the derivative at grid angle g.
std::vector<double> motion_weights(std::size_t n, std::size_t g, Derivative which);

/// The same times `factor`, added to weights on as many lifts as there are.
void add_motion_weights(std::vector<double>& to, std::size_t g, Derivative which, double factor);

}  // namespace lobewright
