// grid_curve.hpp: a periodic function known by its values on a uniform grid round the turn: its derivatives
// at the grid's angles and its course between them.
//
// Grid      n values, n >= 8, value g at the angle 2 pi g / n; the unit of the values is the caller's.
// Model     derivatives by the central differences of seven neighbours (the derivatives of the polynomial
//           through them); between two grid angles the quintic that takes values, slopes and second
//           derivatives from both ends. Local: what happens at one angle is felt three steps away at most.
// Source    B. Fornberg, "Generation of finite difference formulas on arbitrarily spaced grids", Math. Comp.
//           51 (1988), from memory; the coefficients follow from Taylor's series and reproduce closed forms
//           in tests/analysis/follower_grid_curve_test.cpp.
// Accuracy  for step s and a function that is smooth over seven steps: first derivative s^6/140 f^(7), second
//           s^6/560 f^(8), values between the grid's angles of the order s^6. Within
//           three steps of a jump J of the second derivative the values between the grid's angles are off by
//           up to 0.032 J s^2 and the slopes by 0.15 J s; of a jump K of the slope, by 0.17 K s and 0.6 K.
// Throws    std::domain_error for fewer than 8 values or one that isn't finite.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace lobewright {

/// d/dtheta at the grid's angles; values' unit per rad.
std::vector<double> first_derivative(std::span<const double> values);

/// d2/dtheta2 at the grid's angles; values' unit per rad^2.
std::vector<double> second_derivative(std::span<const double> values);

/// A value with its slope (per rad) and second derivative (per rad^2).
struct CurvePoint {
    double value = 0.0;
    double first = 0.0;
    double second = 0.0;
};

/// The function between the grid's angles as well.
class GridCurve {
public:
    explicit GridCurve(std::span<const double> values);

    [[nodiscard]] std::size_t points() const { return value_.size(); }
    [[nodiscard]] double step_rad() const { return step_rad_; }

    /// At grid angle `g`, 0..n-1.
    [[nodiscard]] CurvePoint at_grid(std::size_t g) const { return {value_[g], first_[g], second_[g]}; }
    /// At the fraction `u`, 0..1, of the step that begins at grid angle `g`.
    [[nodiscard]] CurvePoint within(std::size_t g, double u) const;
    /// At any angle, any turn.
    [[nodiscard]] CurvePoint at(double theta_rad) const;

private:
    double step_rad_;
    std::vector<double> value_;
    std::vector<double> first_;
    std::vector<double> second_;
};

/// Where an angle of any turn lies on a grid of n: the grid angle before it, 0..n-1, and the fraction of the
/// step passed since.
struct GridPlace {
    std::size_t before = 0;
    double fraction = 0.0;
};
GridPlace grid_place(double theta_rad, std::size_t n);

}  // namespace lobewright
