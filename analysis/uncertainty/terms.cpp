#include "analysis/uncertainty/terms.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include <boost/math/distributions/students_t.hpp>

namespace lobewright {
namespace {

BudgetShares shares_in_order(const UncertaintyTerms& terms) {
    const double u = terms.combined();
    BudgetShares out;
    for (std::size_t i = 0; i < out.size(); ++i) {
        const auto& source = uncertainty_sources[i];
        const double part = terms.*source.part;
        out[i] = {source.name, source.remedy, u > 0.0 ? part * part / (u * u) : 0.0};
    }
    return out;
}

void sort_largest_first(BudgetShares& shares) {
    std::stable_sort(shares.begin(), shares.end(),
                     [](const auto& a, const auto& b) { return a.share > b.share; });
}

}  // namespace

double UncertaintyTerms::combined() const {
    double sum = 0.0;
    for (const auto& source : uncertainty_sources) sum += this->*source.part * (this->*source.part);
    return std::sqrt(sum);
}

double UncertaintyTerms::expanded() const {
    const double u = combined();
    const double random = std::hypot(noise, encoder);
    double spread =
        0.0;  // Welch-Satterthwaite: shares of the variance, squared, over their degrees of freedom
    const auto spread_by = [&](double part, double freedom) {
        if (part > 0.0 && freedom > 0.0) spread += std::pow(part / u, 4.0) / freedom;
    };
    spread_by(random, degrees_of_freedom);
    spread_by(drift, drift_degrees_of_freedom);
    return student_factor_95(spread > 0.0 ? 1.0 / spread : std::numeric_limits<double>::infinity()) * u;
}

double student_factor_95(double degrees_of_freedom) {
    constexpr double normal = 1.959963984540054;
    if (!(degrees_of_freedom < 1e6)) return normal;
    return boost::math::quantile(boost::math::students_t(std::max(degrees_of_freedom, 1.0)), 0.975);
}

BudgetShares budget_shares(const UncertaintyTerms& terms) {
    auto out = shares_in_order(terms);
    sort_largest_first(out);
    return out;
}

BudgetShares budget_shares(const std::vector<UncertaintyTerms>& figures) {
    auto out = shares_in_order({});
    for (const UncertaintyTerms& terms : figures) {
        const auto one = shares_in_order(terms);
        for (std::size_t i = 0; i < out.size(); ++i)
            out[i].share += one[i].share / static_cast<double>(figures.size());
    }
    sort_largest_first(out);
    return out;
}

double without_largest(const UncertaintyTerms& terms) {
    const double largest = budget_shares(terms).front().share;
    return std::sqrt(std::max(1.0 - largest, 0.0)) * terms.expanded();  // a lone source may round past 1
}

}  // namespace lobewright
