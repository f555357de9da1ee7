// greatest_derivative.hpp: the greatest velocity, acceleration or jerk on a stretch of a lobe, with u95.
//
// Kernel    the widest of motion_kernel.hpp that none of the narrower ones contradicts (O. V. Lepski, Theory Probab. Appl.
//           35 (1990), from memory) and that takes no more than can be given back; half of what was given back is doubt.
// Top       the largest of many noisy values lies too high: what stands within four standard deviations of noise of the top
//           is taken together. As far as noise explains their scatter they are one plateau, whose mean counts; as far as it
//           doesn't, the top is a peak and stays (after W. James and C. Stein 1961, from memory;
//           docs/decisions/plateau-maxima.md). The u95 is that of the weighted sum so stated, and of the shape that noise
//           may hide among those places. tests/coverage shows how often it holds.
// Tables    between rows a curve may wave once in two rows without touching them: what a wave of the size that the rows
//           leave open gives the kernel counts as well.
#pragma once

#include <cstddef>
#include <vector>

#include "analysis/follower/follower_motion.hpp"
#include "analysis/lobe/lobe_view.hpp"
#include "analysis/measured.hpp"

namespace lobewright {

/// A stretch of grid angles; may pass the end of the turn.
struct GridSpan {
    std::ptrdiff_t from = 0;
    std::ptrdiff_t to = 0;  // included
};

/// What is looked for: the largest of sign x (derivative of `lift` + beside) on a stretch. `lift` is the view's at
/// mid-width, mm on the grid; `beside`, on the grid, may be missing. The referenced objects must outlive it.
struct GreatestSought {
    const LobeView& view;
    const std::vector<double>& lift;
    Derivative which;
    GridSpan over;
    double sign = 1.0;
    const std::vector<double>* beside = nullptr;
};

/// Its value with its own sign; mm per rad, rad^2 or rad^3.
Measured greatest_derivative(const GreatestSought& sought);

}  // namespace lobewright
