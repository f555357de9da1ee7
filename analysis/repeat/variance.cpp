#include "analysis/repeat/variance.hpp"

#include <algorithm>
#include <numbers>

#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/fisher_f.hpp>

#include "analysis/uncertainty/terms.hpp"

namespace lobewright {
namespace {

constexpr double tail = 0.025;
// Beyond this a mean square is as good as exact, and the quantiles below lose digits.
constexpr double most_degrees = 1e7;

double limited(double degrees_of_freedom) {
    return std::min(degrees_of_freedom, most_degrees);
}

/// chi-square over its degrees of freedom that `p` lies below.
double chi_ratio(double degrees_of_freedom, double p) {
    const double nu = limited(degrees_of_freedom);
    return boost::math::quantile(boost::math::chi_squared(nu), p) / nu;
}

double f_ratio(double over, double under, double p) {
    return boost::math::quantile(boost::math::fisher_f(limited(over), limited(under)), p);
}

double square(double x) {
    return x * x;
}

/// How far below and above larger - smaller its limits lie.
struct DifferenceReach {
    double below = 0.0;
    double above = 0.0;
};

DifferenceReach reach_of_difference(const MeanSquare& larger, const MeanSquare& smaller) {
    const double n1 = larger.degrees_of_freedom, n2 = smaller.degrees_of_freedom;
    const double g1 = 1.0 - 1.0 / chi_ratio(n1, 1.0 - tail), h1 = 1.0 / chi_ratio(n1, tail) - 1.0;
    const double g2 = 1.0 - 1.0 / chi_ratio(n2, 1.0 - tail), h2 = 1.0 / chi_ratio(n2, tail) - 1.0;
    const double f_high = f_ratio(n1, n2, 1.0 - tail), f_low = f_ratio(n1, n2, tail);
    const double g12 = (square(f_high - 1.0) - square(g1 * f_high) - square(h2)) / f_high;
    const double h12 = (square(1.0 - f_low) - square(h1 * f_low) - square(g2)) / f_low;
    const double a = larger.value, b = smaller.value;
    const double below = square(g1 * a) + square(h2 * b) + g12 * a * b;
    const double above = square(h1 * a) + square(g2 * b) + h12 * a * b;
    return {std::sqrt(std::max(below, 0.0)), std::sqrt(std::max(above, 0.0))};
}

}  // namespace

void SatterthwaiteSum::add(double part, double degrees_of_freedom) {
    if (part == 0.0) return;
    sum_ += part;
    spread_ += part * part / degrees_of_freedom;
}

double SatterthwaiteSum::degrees_of_freedom() const {
    return spread_ > 0.0 ? sum_ * sum_ / spread_ : std::numeric_limits<double>::infinity();
}

Variance variance_of(const MeanSquare& mean_square) {
    Variance out;
    if (!(mean_square.degrees_of_freedom > 0.0)) return out;
    out.value = mean_square.value;
    out.degrees_of_freedom = mean_square.degrees_of_freedom;
    out.low = mean_square.value / chi_ratio(mean_square.degrees_of_freedom, 1.0 - tail);
    out.high = mean_square.value / chi_ratio(mean_square.degrees_of_freedom, tail);
    return out;
}

Variance variance_of_difference(const MeanSquare& larger, const MeanSquare& smaller, double per) {
    if (!(larger.degrees_of_freedom > 0.0) || !(per > 0.0)) return {};
    if (!(smaller.degrees_of_freedom > 0.0))
        return variance_of({larger.value / per, larger.degrees_of_freedom});
    const double difference = larger.value - smaller.value;
    const DifferenceReach reach = reach_of_difference(larger, smaller);
    SatterthwaiteSum sum;
    sum.add(larger.value, larger.degrees_of_freedom);
    sum.add(-smaller.value, smaller.degrees_of_freedom);
    Variance out;
    out.value = std::max(difference, 0.0) / per;
    out.negative = difference < 0.0;
    // A difference near zero is less sure than its larger part, never surer.
    out.degrees_of_freedom = std::min(sum.degrees_of_freedom(), larger.degrees_of_freedom);
    out.low = std::max(difference - reach.below, 0.0) / per;
    out.high = std::max(difference + reach.above, 0.0) / per;
    return out;
}

double limit_of_two(const Variance& variance) {
    return student_factor_95(std::numeric_limits<double>::infinity()) * std::numbers::sqrt2 *
           variance.deviation();
}

}  // namespace lobewright
