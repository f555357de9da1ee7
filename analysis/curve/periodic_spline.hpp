// periodic_spline.hpp: a periodic cubic smoothing spline fitted to weighted samples, with its derivatives and
// the covariance of anything linear that is read off it (docs/measuring.md section 2).
//
// Model    f(theta) = sum_j c_j B_j(theta), B_j the cardinal cubic B-spline (peak 2/3 at knot j) on K equal
// knot
//          intervals of the circle, knot j at 2 pi j / K.
// Fit      minimises  sum_i w_i (y_i - f(theta_i))^2 + lambda * integral f''^2 dtheta;  with w_i =
// 1/variance_i. Cost     one pass over the samples (four basis values each), then O(K): the normal matrix is
// banded and cyclic. Sources  P. H. C. Eilers, B. D. Marx, "Flexible smoothing with B-splines and penalties",
// Stat. Sci. 11 (1996);
//          G. Wahba, "Spline Models for Observational Data" (1990); selected inverse: K. Takahashi et al.
//          (1973). All from memory; checked against scipy and a circulant solution in
//          tests/outside/spline_test.cpp.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <numbers>
#include <span>
#include <vector>

namespace lobewright {

/// Where an angle lies among the knots: the first of the four coefficients that matter, and their weights.
struct SplineSite {
    std::size_t first = 0;  // coefficients first, first+1, first+2, first+3, modulo K
    std::array<double, 4> weight{};
};

/// Where an angle lies among the knots, as interval (0..K-1) and fraction (0..1) within it.
struct SplinePlace {
    std::size_t interval = 0;
    double fraction = 0.0;
};
inline SplinePlace spline_place(double theta_rad, std::size_t knots) {
    const double x = theta_rad * (static_cast<double>(knots) / (2.0 * std::numbers::pi));
    auto whole = static_cast<std::int64_t>(x);
    whole -= static_cast<double>(whole) > x;  // floor, without a library call for each sample
    const auto k = static_cast<std::int64_t>(knots);
    std::int64_t interval = whole;
    if (interval < 0) interval += k;  // a division takes longer than all else here, and sweeps make few turns
    if (interval >= k) interval -= k;
    if (interval < 0 || interval >= k) {
        interval %= k;
        if (interval < 0) interval += k;
    }
    return {static_cast<std::size_t>(interval), x - static_cast<double>(whole)};
}

/// Sums over samples of one knot interval, of two curves: all that the normal equations need of them. Samples
/// come in the order of turning, so that many fall into one interval before the next.
struct IntervalMoments {
    std::array<double, 7> weight{};  // sum of w u^k
    std::array<std::array<double, 2>, 4>
        value{};                      // sum of w y u^k of both curves, k by k: they are added in pairs
    std::array<double, 2> squares{};  // sum of w y^2
    std::size_t samples = 0;

    void add(double u, double w, double first, double second) {
        const double u2 = u * u, u3 = u2 * u;
        weight[0] += w;
        weight[1] += w * u;
        weight[2] += w * u2;
        weight[3] += w * u3;
        weight[4] += w * u2 * u2;
        weight[5] += w * u2 * u3;
        weight[6] += w * u3 * u3;
        const double a = w * first, b = w * second;
        value[0][0] += a;
        value[0][1] += b;
        value[1][0] += a * u;
        value[1][1] += b * u;
        value[2][0] += a * u2;
        value[2][1] += b * u2;
        value[3][0] += a * u3;
        value[3][1] += b * u3;
        squares[0] += a * first;
        squares[1] += b * second;
        ++samples;
    }

    void add(const IntervalMoments& other) {
        for (std::size_t k = 0; k < weight.size(); ++k) weight[k] += other.weight[k];
        for (std::size_t k = 0; k < value.size(); ++k) {
            value[k][0] += other.value[k][0];
            value[k][1] += other.value[k][1];
        }
        squares[0] += other.squares[0];
        squares[1] += other.squares[1];
        samples += other.samples;
    }
};

/// The periodic spline itself: coefficients and evaluation. Angles in rad, any turn; values in the samples'
/// unit.
class PeriodicSpline {
public:
    PeriodicSpline() = default;
    explicit PeriodicSpline(std::vector<double> coefficients) : c_(std::move(coefficients)) {}

    [[nodiscard]] std::size_t knots() const { return c_.size(); }
    [[nodiscard]] const std::vector<double>& coefficients() const { return c_; }

    [[nodiscard]] double value(double theta_rad) const;
    [[nodiscard]] double first_derivative(double theta_rad) const;   // per rad
    [[nodiscard]] double second_derivative(double theta_rad) const;  // per rad^2

    /// The cubic of one knot interval: value = sum of result[k] u^k, u the fraction within it.
    [[nodiscard]] std::array<double, 4> cubic(std::size_t interval) const;

private:
    std::vector<double> c_;
};

/// Basis values at an angle for K knots.
SplineSite spline_site(double theta_rad, std::size_t knots);

/// Normal equations of several curves that share sites and weights (front and rear of a lobe do).
/// Storage: the K x 4 upper bands of the Gram matrix, cyclic, and one right-hand side a curve.
class SplineSystem {
public:
    SplineSystem(std::size_t knots, std::size_t curves);

    /// Adds one sample of weight w (1/variance) at a site, with one value a curve.
    void add(const SplineSite& site, double w, std::span<const double> values);

    /// Adds the samples of one interval to a system of two curves.
    void add(std::size_t interval, const IntervalMoments& moments);

    /// Takes a small, smooth offset off the values of one curve: in interval k, `offset[k]` is the weighted
    /// sum of the offsets of the samples there. Exact for offsets that are constant within an interval and
    /// samples that lie evenly in it. `squares` is what the weighted sum of squares changes by.
    void shift_values(std::size_t curve, std::span<const double> offset, double squares);

    /// Declares that the values added were what is left of a curve with these coefficients; from here on the
    /// system is that of the whole values. Keeps sums of squares exact where the values are a million times
    /// the noise.
    void add_origin(std::size_t curve, std::span<const double> coefficients);

    [[nodiscard]] std::size_t knots() const { return knots_; }
    [[nodiscard]] std::size_t curves() const { return left_.size(); }
    [[nodiscard]] double total_weight() const { return total_weight_; }
    [[nodiscard]] std::size_t samples() const { return samples_; }
    [[nodiscard]] const std::vector<std::array<double, 4>>& gram() const { return gram_; }
    /// Right-hand side of the whole values, K long.
    [[nodiscard]] std::vector<double> rhs(std::size_t curve) const;
    /// Weighted sum of squared residuals of one curve about a spline with these coefficients.
    [[nodiscard]] double residual_squares(std::size_t curve, std::span<const double> coefficients) const;
    /// Coefficients' quadratic form x' G y in the Gram matrix.
    [[nodiscard]] double gram_product(std::span<const double> x, std::span<const double> y) const;

private:
    std::size_t knots_;
    std::size_t samples_ = 0;
    double total_weight_ = 0.0;
    std::vector<std::array<double, 4>> gram_;       // gram_[j][d] = sum w B_j B_{j+d}
    std::vector<std::vector<double>> left_;         // right-hand sides of the values as added
    std::vector<std::vector<double>> origin_;       // coefficients of what was taken off before adding
    std::vector<std::vector<double>> origin_part_;  // what the origin adds to the right-hand sides
    std::vector<double> squares_;                   // of the values as added

    [[nodiscard]] std::vector<double> gram_times(std::span<const double> x) const;
};

/// The factored matrix A = G + lambda P of one smoothing. What is solved, and all that is linear in it, is S = A^-1, or with
/// the smoothing given back once S = A^-1 + A^-1 lambda P A^-1: what the smoothing took, as the smoothed curve shows it,
/// is added to the curve. Leaves a bias of second order only, for about a quarter more noise ("twicing": J. W. Tukey,
/// "Exploratory Data Analysis", 1977, from memory; tests/analysis/twicing_test.cpp).
class SplineSolver {
public:
    /// Throws std::domain_error when A isn't positive definite (no samples, or gaps and lambda = 0).
    SplineSolver(const SplineSystem& system, double lambda);

    /// The same smoothing, given back once.
    [[nodiscard]] SplineSolver given_back() const;

    [[nodiscard]] std::vector<double> solve(std::span<const double> rhs) const;
    /// The same of two right-hand sides, in little more than the time of one.
    [[nodiscard]] std::array<std::vector<double>, 2> solve_both(std::span<const double> first,
                                                                std::span<const double> second) const;
    [[nodiscard]] PeriodicSpline fit(const SplineSystem& system, std::size_t curve) const;
    /// Effective number of parameters of the smoothing, nothing given back: trace(A^-1 G).
    [[nodiscard]] double effective_parameters(const SplineSystem& system) const;
    /// Variance of the linear figure sum_j l_j c_j when every weight is 1/variance: l' S G S l.
    [[nodiscard]] double variance(const SplineSystem& system, std::span<const double> l) const;
    /// What the smoothing takes off the coefficients: lambda A^-1 P c, to first order the smoothing bias; given back once,
    /// what it takes off that.
    [[nodiscard]] std::vector<double> smoothing_bias(const PeriodicSpline& spline) const;
    [[nodiscard]] double lambda() const { return lambda_; }

private:
    std::size_t inner_ = 0;  // K - 3 unknowns eliminated along the band, 3 as a border
    double lambda_ = 0.0;
    bool given_back_ = false;
    std::vector<double> pivot_;
    std::vector<std::array<double, 3>> band_;    // L(j+1..j+3, j)
    std::vector<std::array<double, 3>> border_;  // L(K-3..K-1, j)
    std::array<std::array<double, 3>, 3> corner_{};
    std::array<double, 3> corner_pivot_{};

    template <std::size_t N>
    void solve_in_place(std::vector<std::array<double, N>>& x) const;
    void factor(const std::vector<std::array<double, 4>>& upper);
    [[nodiscard]] std::vector<double> inverse_times(std::span<const double> rhs) const;
    [[nodiscard]] std::vector<double> taken_once(std::span<const double> coefficients) const;
};

/// integral f''^2 over the turn.
double roughness(const PeriodicSpline& spline);

/// How well a smoothing fits: weighted residual sum of squares and effective parameters of one curve.
struct SplineQuality {
    double rss = 0.0;
    double edf = 0.0;
};
SplineQuality spline_quality(const SplineSystem& system, const SplineSolver& solver, std::size_t curve);

/// The smoothing that minimises Mallows' criterion  rss/s2 + 2 edf  summed over the curves, where the weights
/// are 1/(variance/s2): with weights in true inverse variances s2 = 1. Searched over decades by golden
/// section. Source: C. L. Mallows, "Some comments on C_p", Technometrics 15 (1973), from memory.
double choose_smoothing(const SplineSystem& system, double s2);

}  // namespace lobewright
