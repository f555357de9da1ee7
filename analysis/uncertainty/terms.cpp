#include "analysis/uncertainty/terms.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include <boost/math/distributions/students_t.hpp>

namespace lobewright {
namespace {

std::array<BudgetShare, 9> shares_in_order(const UncertaintyTerms& terms) {
    const double u = terms.combined();
    const auto share = [u](double part) { return u > 0.0 ? part * part / (u * u) : 0.0; };
    return {{
        {"noise", "another pass, or a slower turn past the flanks", share(terms.noise)},
        {"indicator", "indicators with a smaller error limit, or set against gauge blocks",
         share(terms.indicator)},
        {"step", "indicators with a finer step", share(terms.step)},
        {"smoothing", "more counts a turn, or a slower turn", share(terms.smoothing)},
        {"table", "rows closer together, or an encoder", share(terms.table)},
        {"datum", "the front-to-rear zero taken again and averaged", share(terms.datum)},
        {"passes", "another pass, with the cam seated the same way", share(terms.passes)},
        {"drift", "a rig that has warmed up, and sweeps of two turns or more", share(terms.drift)},
        {"temperature", "both runs at one temperature, and the cam left to soak", share(terms.temperature)},
    }};
}

void sort_largest_first(std::array<BudgetShare, 9>& shares) {
    std::stable_sort(shares.begin(), shares.end(),
                     [](const auto& a, const auto& b) { return a.share > b.share; });
}

}  // namespace

double UncertaintyTerms::combined() const {
    double sum = 0.0;
    for (double u : {noise, indicator, step, smoothing, table, datum, passes, drift, temperature})
        sum += u * u;
    return std::sqrt(sum);
}

double UncertaintyTerms::expanded() const {
    const double u = combined();
    if (!(noise > 0.0) || !(degrees_of_freedom > 0.0)) {
        return student_factor_95(std::numeric_limits<double>::infinity()) * u;
    }
    const double share = u / noise;
    return student_factor_95(degrees_of_freedom * share * share * share * share) * u;
}

double student_factor_95(double degrees_of_freedom) {
    constexpr double normal = 1.959963984540054;
    if (!(degrees_of_freedom < 1e6)) return normal;
    return boost::math::quantile(boost::math::students_t(std::max(degrees_of_freedom, 1.0)), 0.975);
}

std::array<BudgetShare, 9> budget_shares(const UncertaintyTerms& terms) {
    auto out = shares_in_order(terms);
    sort_largest_first(out);
    return out;
}

std::array<BudgetShare, 9> budget_shares(const std::vector<UncertaintyTerms>& figures) {
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
