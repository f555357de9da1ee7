// variance.hpp: an estimated variance, how well it is known, and what it says of two results.
//
// Mean squares of normal data are chi-square multiples of what they estimate. The degrees of freedom of a sum of them
// are Satterthwaite's (Biometrics Bulletin 2, 1946), the limits of a difference those of the modified large-sample
// method (Ting, Burdick, Graybill, Jeyaratnam, Lu 1990; Burdick and Graybill, Confidence Intervals on Variance
// Components, 1992), all from memory. Unit: the square of the figure's.
#pragma once

#include <cmath>
#include <limits>

namespace lobewright {

/// NaN where it can't be known. `low` and `high` are its limits at 95 %; both may be wide apart and rightly so: a
/// variance from two results is known to within a factor of five thousand.
struct Variance {
    double value = std::numeric_limits<double>::quiet_NaN();
    double degrees_of_freedom = 0.0;  // Satterthwaite's; 0 where unknown
    double low = std::numeric_limits<double>::quiet_NaN();
    double high = std::numeric_limits<double>::quiet_NaN();
    bool negative = false;  // the estimate came out below zero and was set to zero

    [[nodiscard]] bool known() const { return std::isfinite(value); }
    [[nodiscard]] double deviation() const { return std::sqrt(value); }
};

/// A mean square; `degrees_of_freedom` 0 means that there is none.
struct MeanSquare {
    double value = 0.0;
    double degrees_of_freedom = 0.0;
};

/// A variance that a mean square estimates as it stands, its limits by chi-square. Unknown without degrees of
/// freedom.
Variance variance_of(const MeanSquare& mean_square);

/// The variance (larger - smaller) / per; a negative one is set to zero and says so. With a `smaller` that has no
/// degrees of freedom, larger / per. Unknown without degrees of freedom of `larger`.
Variance variance_of_difference(const MeanSquare& larger, const MeanSquare& smaller, double per);

/// Degrees of freedom of a sum of independent mean squares, each already times its coefficient: Satterthwaite.
/// Infinite for a sum of zero.
class SatterthwaiteSum {
public:
    void add(double part, double degrees_of_freedom);
    [[nodiscard]] double value() const { return sum_; }
    [[nodiscard]] double degrees_of_freedom() const;

private:
    double sum_ = 0.0;
    double spread_ = 0.0;  // sum of part^2 / degrees of freedom
};

/// What the difference of two single results stays within, 19 times in 20: 1.96 sqrt 2 times their standard deviation
/// (ISO 5725-6, from memory, which rounds the factor to 2.8).
double limit_of_two(const Variance& variance);

}  // namespace lobewright
