#include "analysis/lobe/rough_curve.hpp"

#include <cmath>

#include "analysis/constants.hpp"
#include "analysis/lobe/grid.hpp"

namespace lobewright {
namespace {

constexpr std::size_t most_knots = grid_points;
constexpr std::size_t least_knots = 72;
constexpr double rough_decades = -1.0;
constexpr double table_smoothing = 1e-4;  // of the rough one: through the rows to a hundredth of their noise

/// Slopes of the mean of front and rear at the knots, mm per rad.
std::vector<double> knot_slopes(const PeriodicSpline& front, const PeriodicSpline& rear) {
    const std::size_t k = front.knots();
    std::vector<double> slope(k);
    const double half_per_rad =
        0.25 * static_cast<double>(k) / two_pi;  // central difference of coefficients, halved
    for (std::size_t j = 0; j < k; ++j) {
        const std::size_t next = j + 1 == k ? 0 : j + 1, last = j == 0 ? k - 1 : j - 1;
        slope[j] = half_per_rad * (front.coefficients()[next] - front.coefficients()[last] +
                                   rear.coefficients()[next] - rear.coefficients()[last]);
    }
    return slope;
}

}  // namespace

double places_per_turn(const std::vector<CleanSweep>& sweeps) {
    double places = 0.0;
    for (const auto& sweep : sweeps) places += static_cast<double>(sweep.samples.size());
    return places;
}

std::size_t knots_for(double places) {
    const auto twice = static_cast<std::size_t>(2.0 * places);
    return std::clamp(twice - twice % 2, least_knots, most_knots);
}

/// Quartile of |second differences| of both edges: the heel is more than half the turn, so that the lower
/// quartile is heel noise even when rows are degrees apart. sd(y1-2y2+y3) = sqrt(6) sigma; quartile of |z| =
/// 0.31864.
double rough_sigma(const std::vector<CleanSweep>& sweeps) {
    std::vector<double> size;
    for (const auto& sweep : sweeps) {
        const auto& s = sweep.samples;
        const std::size_t stride = std::max<std::size_t>(1, s.size() / 1500);
        for (std::size_t i = 1; i + 1 < s.size(); i += stride) {
            size.push_back(std::abs(s.front_mm[i - 1] - 2.0 * s.front_mm[i] + s.front_mm[i + 1]));
            size.push_back(std::abs(s.rear_mm[i - 1] - 2.0 * s.rear_mm[i] + s.rear_mm[i + 1]));
        }
    }
    const auto quartile = size.begin() + static_cast<std::ptrdiff_t>(size.size() / 4);
    std::nth_element(size.begin(), quartile, size.end());
    return *quartile / (0.3186393640 * std::sqrt(6.0));
}

double rough_lambda(const SplineSystem& system) {
    const double h = two_pi / static_cast<double>(system.knots());
    return std::pow(10.0, rough_decades) * system.total_weight() / static_cast<double>(system.knots()) * h *
           h * h;
}

double table_lambda(const SplineSystem& system) {
    return table_smoothing * rough_lambda(system);
}

RoughCurve fit_rough_curve(const std::vector<CleanSweep>& sweeps, std::size_t knots, bool table) {
    SplineSystem system(knots, 2);
    // A dozen places an interval are plenty for slopes.
    const double dense = places_per_turn(sweeps) / (12.0 * static_cast<double>(knots));
    const auto stride = std::max<std::size_t>(1, static_cast<std::size_t>(dense));
    const double per_rad = static_cast<double>(knots) / two_pi;
    std::vector<IntervalMoments> moments(knots);
    for (const auto& sweep : sweeps) {
        const auto& s = sweep.samples;
        by_interval(s, knots, stride, [&](const KnotVisit& visit) {
            IntervalMoments here;
            for (std::size_t i = visit.from; i < visit.to; i += stride) {
                here.add(s.angle_rad[i] * per_rad - visit.start, s.readings[i], s.front_mm[i], s.rear_mm[i]);
            }
            moments[visit.interval].add(here);
        });
    }
    for (std::size_t k = 0; k < knots; ++k) system.add(k, moments[k]);
    const SplineSolver solver(system, table ? table_lambda(system) : rough_lambda(system));
    RoughCurve out{solver.fit(system, 0), solver.fit(system, 1), {}};
    out.slope = knot_slopes(out.front, out.rear);
    return out;
}

}  // namespace lobewright
