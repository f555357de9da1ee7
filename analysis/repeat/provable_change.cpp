#include "analysis/repeat/provable_change.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "analysis/uncertainty/terms.hpp"

namespace lobewright {
namespace {

constexpr double exact = std::numeric_limits<double>::infinity();

double or_zero(double x) {
    return std::isfinite(x) ? x : 0.0;
}

/// Variances of the three scatters: as estimated, or at their upper limits.
struct Scatter {
    double pass, set_up, by_operator;
};

/// The parts of one state's variance, by ChangeSource.
std::array<double, change_sources> parts_of(const Scatter& scatter, const Unrepeated& u, const Plan& plan) {
    const double passes = plan.passes, set_ups = plan.set_ups;
    const double datum = u.datum_mm * u.datum_mm;
    const double datum_part = u.datum_anew ? std::max(datum - scatter.set_up, 0.0) / set_ups : datum;
    return {scatter.pass / (passes * set_ups),
            scatter.set_up / set_ups,
            scatter.by_operator,
            u.indicator_mm * u.indicator_mm,
            datum_part,
            u.step_mm * u.step_mm,
            u.smoothing_mm * u.smoothing_mm,
            u.table_mm * u.table_mm};
}

}  // namespace

double Unrepeated::variance() const {
    return indicator_mm * indicator_mm + datum_mm * datum_mm + step_mm * step_mm +
           smoothing_mm * smoothing_mm + table_mm * table_mm;
}

ChangeSource ProvableChange::largest() const {
    return static_cast<ChangeSource>(std::max_element(shares.begin(), shares.end()) - shares.begin());
}

ProvableChange provable_change(const NestedVariances& scatter, const Unrepeated& unrepeated,
                               const Plan& plan) {
    const auto parts = parts_of(
        {or_zero(scatter.pass.value), or_zero(scatter.set_up.value), or_zero(scatter.by_operator.value)},
        unrepeated, plan);
    const std::array<double, change_sources> degrees{scatter.pass.degrees_of_freedom,
                                                     scatter.set_up.degrees_of_freedom,
                                                     scatter.by_operator.degrees_of_freedom,
                                                     exact,
                                                     exact,
                                                     exact,
                                                     exact,
                                                     exact};
    SatterthwaiteSum sum;
    for (std::size_t i = 0; i < parts.size(); ++i) sum.add(2.0 * parts[i], degrees[i]);
    const auto high = parts_of(
        {or_zero(scatter.pass.high), or_zero(scatter.set_up.high), or_zero(scatter.by_operator.high)},
        unrepeated, plan);
    double high_sum = 0.0;
    for (const double part : high) high_sum += 2.0 * part;

    ProvableChange out;
    out.plan = plan;
    out.u95_mm = student_factor_95(sum.degrees_of_freedom()) * std::sqrt(sum.value());
    out.high_mm = std::max(student_factor_95(exact) * std::sqrt(high_sum), out.u95_mm);
    for (std::size_t i = 0; i < parts.size(); ++i)
        out.shares[i] = sum.value() > 0.0 ? 2.0 * parts[i] / sum.value() : 0.0;
    return out;
}

PassesNeeded passes_needed(const NestedVariances& scatter, const Unrepeated& unrepeated, double want_mm) {
    const int most_passes = scatter.passes_in_set_up ? 1 : largest_plan.passes;
    PassesNeeded out;
    out.want_mm = want_mm;
    for (int set_ups = 1; set_ups <= largest_plan.set_ups; ++set_ups) {
        for (int passes = 1; passes <= most_passes; ++passes) {
            const ProvableChange one = provable_change(scatter, unrepeated, {passes, set_ups});
            // More passes may leave more of U to a scatter known from few degrees of freedom, and Student's factor
            // grows.
            if (passes * set_ups == 1 || one.u95_mm < out.reached.u95_mm) out.reached = one;
            if (one.u95_mm > want_mm) continue;
            out.plan = one.plan;
            return out;
        }
    }
    return out;
}

}  // namespace lobewright
