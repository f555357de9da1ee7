// rate_fit.hpp: how fast a figure changes with running hours, and when it reaches a limit at that rate.
//
// Model     y_i = y_0 + rate (t_i - t_0) + e_i, errors of standard uncertainty u_i, independent from run to run. A figure
//           that is a difference from the first run has y_0 = 0 and shares that run's error among all of its values; each
//           half of its variance is then taken for either run.
// Fit       generalised least squares (JCGM 100 and textbooks of regression, from memory). Where the points scatter about
//           the line by more than their uncertainties allow (chi-squared at 5 %), u is widened by the Birge ratio
//           sqrt(chi^2/nu) (R. T. Birge, Phys. Rev. 40 (1932), from memory): the wear doesn't go at one rate.
// Limit     reached at t where the line crosses it; its earliest and latest from the rate's and the last value's u95. Not
//           said unless the rate is proved to go that way.
#pragma once

#include <optional>
#include <vector>

#include "analysis/measured.hpp"

namespace lobewright {

/// One value at its hours. `value.u95` at 95 %.
struct AtHours {
    double hours = 0.0;
    Measured value;
};

struct RateFit {
    Measured per_hour;     // unknown with fewer than two points
    bool one_rate = true;  // the points lie on a line within their uncertainties
    double last_hours = 0.0;
    Measured at_last;  // of the fitted line, at the last hours
};

/// A figure that is what it is at each run: needs two known points at different hours.
RateFit fit_line(const std::vector<AtHours>& points);

/// A figure that is the change since the first run, at `first_hours`: one later point is enough.
RateFit fit_change(double first_hours, const std::vector<AtHours>& points);

struct LimitReached {
    double hours = 0.0;  // all by the clock of [run] hours
    double earliest = 0.0;
    std::optional<double> latest;  // none: the slowest rate that the data allow doesn't reach it
};

/// When the line reaches `limit`; nothing where the rate isn't proved to go toward it. A limit that the last value has
/// passed already is reached at the last hours or before.
std::optional<LimitReached> when_reached(const RateFit& fit, double limit);

}  // namespace lobewright
