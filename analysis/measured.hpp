// measured.hpp: a measured figure with its expanded uncertainty, or the fact that it can't be known.
#pragma once

#include <cmath>
#include <limits>

namespace lobewright {

/// A figure and u95, its expanded uncertainty at 95 % (half-width), both in the figure's own unit.
/// A figure that can't be known is NaN, never zero; its cause stands among the notes of its lobe or cam.
struct Measured {
    double value = std::numeric_limits<double>::quiet_NaN();
    double u95 = std::numeric_limits<double>::quiet_NaN();

    [[nodiscard]] bool known() const { return std::isfinite(value); }
};

/// One figure at the front and one at the rear of a lobe.
struct EdgePair {
    Measured front;
    Measured rear;
};

}  // namespace lobewright
