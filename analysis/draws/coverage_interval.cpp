#include "analysis/draws/coverage_interval.hpp"

#include <algorithm>
#include <cmath>

namespace lobewright {
namespace {

constexpr double coverage_95 = 0.95;

// One digit, as u95 is read at a bench: 0.0023 and 0.0024 are one uncertainty there. With two every figure that isn't
// exactly linear would differ.
constexpr int significant_digits = 1;

// An end's standard deviation is sqrt(p (1 - p) / N) over the density there; for a normal figure of standard deviation
// s at p = 0.025 that is sqrt(0.025 x 0.975) / 0.058445 = 2.671 s / sqrt(N). Rectangular draws scatter less.
constexpr double end_scatter = 2.671;
// Chance passes this once in a thousand ends: a screen of twenty figures has forty. Half of it would cry wolf at one
// figure in five, twice of it would let nearly half of u95 go by at 400 draws.
constexpr double allowed_scatter = 3.291;

/// How many draws an interval spans: p M, rounded to the nearest where it isn't whole (7.7.1).
std::size_t span_of(std::size_t draws, double coverage) {
    const auto span = static_cast<std::size_t>(std::lround(coverage * static_cast<double>(draws)));
    return std::min(span, draws - 1);
}

}  // namespace

CoverageInterval symmetric_interval(std::span<const double> sorted, double coverage) {
    const std::size_t span = span_of(sorted.size(), coverage);
    // The standard counts draws from 1: r = (M - q) / 2, or (M - q + 1) / 2 where that isn't whole.
    const std::size_t first = std::max<std::size_t>((sorted.size() - span + 1) / 2, 1) - 1;
    return {sorted[first], sorted[first + span]};
}

CoverageInterval shortest_interval(std::span<const double> sorted, double coverage) {
    const std::size_t span = span_of(sorted.size(), coverage);
    std::size_t best = 0;
    for (std::size_t r = 0; r + span < sorted.size(); ++r) {
        if (sorted[r + span] - sorted[r] < sorted[best + span] - sorted[best]) best = r;
    }
    return {sorted[best], sorted[best + span]};
}

double numerical_tolerance(double standard_uncertainty, int digits) {
    if (!(standard_uncertainty > 0.0)) return 0.0;
    const auto unit_for = [&](double u) { return std::pow(10.0, std::floor(std::log10(u)) - (digits - 1)); };
    const double unit = unit_for(standard_uncertainty);
    const double rounded = std::round(standard_uncertainty / unit) * unit;
    // 0.96 has one digit as 1, and its unit is that of 1.
    return 0.5 * unit_for(rounded * (1.0 + 1e-12));
}

bool DrawnFigure::agrees() const {
    return draws > 0 && std::max(low_off, high_off) <= tolerance + allowance;
}

DrawnFigure drawn_figure(const Measured& stated, std::vector<double> draws) {
    std::erase_if(draws, [](double value) { return !std::isfinite(value); });
    DrawnFigure out;
    if (draws.empty() || !stated.known()) return out;
    std::sort(draws.begin(), draws.end());
    out.draws = draws.size();
    const auto n = static_cast<double>(draws.size());
    for (const double value : draws) out.mean += (value - stated.value) / n;  // small beside the value
    double squares = 0.0;
    for (const double value : draws) {
        const double off = value - stated.value - out.mean;
        squares += off * off;
    }
    out.mean += stated.value;
    out.sd = std::sqrt(squares / std::max(n - 1.0, 1.0));
    out.symmetric = symmetric_interval(draws, coverage_95);
    out.shortest = shortest_interval(draws, coverage_95);
    out.tolerance = numerical_tolerance(out.sd, significant_digits);
    out.allowance = allowed_scatter * end_scatter * out.sd / std::sqrt(n);
    out.low_off = std::abs(stated.value - stated.u95 - out.symmetric.low);
    out.high_off = std::abs(stated.value + stated.u95 - out.symmetric.high);
    return out;
}

}  // namespace lobewright
