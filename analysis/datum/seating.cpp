#include "analysis/datum/seating.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <span>
#include <stdexcept>

namespace lobewright {
namespace {

constexpr double unknown_step_mm = 0.001;  // of a common indicator
constexpr double most_standard_errors = 3.0;
constexpr double most_steps_range = 12.0;

double mean_of(std::span<const double> values) {
    return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

double sum_of_squares(std::span<const double> values) {
    const double mean = mean_of(values);
    return std::accumulate(values.begin(), values.end(), 0.0, [mean](double sum, double value) {
        return sum + (value - mean) * (value - mean);
    });
}

}  // namespace

Seating seating_of(const std::vector<double>& rear_minus_front_mm) {
    const std::span<const double> all(rear_minus_front_mm);
    if (all.size() < 4) throw std::domain_error("a seating needs four readings or more");
    const auto first = all.first(all.size() / 2), second = all.subspan(all.size() / 2);
    const auto [least, most] = std::minmax_element(all.begin(), all.end());
    Seating seating;
    seating.readings = all.size();
    seating.rear_minus_front_mm = mean_of(all);
    seating.range_mm = *most - *least;
    seating.creep_mm = mean_of(second) - mean_of(first);
    const double variance =
        (sum_of_squares(first) + sum_of_squares(second)) / static_cast<double>(all.size() - 2);
    seating.u_creep_mm = std::sqrt(
        variance * (1.0 / static_cast<double>(first.size()) + 1.0 / static_cast<double>(second.size())));
    return seating;
}

bool lay_still(const Seating& seating, std::optional<double> step_mm) {
    const double step = step_mm.value_or(unknown_step_mm);
    return std::abs(seating.creep_mm) <= step + most_standard_errors * seating.u_creep_mm &&
           seating.range_mm <= most_steps_range * step;
}

}  // namespace lobewright
