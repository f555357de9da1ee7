// The project's fits against another library's, live: the GNU Scientific Library's B-spline basis (clamped knots,
// folded round the turn here) and its least squares by singular value decomposition of the stacked system, penalty
// rows below the samples, where the project solves banded cyclic normal equations. All agree to 1e-9 of the curve's
// size.
#include <algorithm>
#include <array>
#include <cmath>
#include <gsl/gsl_bspline.h>
#include <gsl/gsl_matrix.h>
#include <gsl/gsl_multifit.h>
#include <gsl/gsl_vector.h>
#include <memory>
#include <vector>

#include <catch2/catch.hpp>

#include "analysis/constants.hpp"
#include "analysis/curve/periodic_spline.hpp"
#include "analysis/curve/sinusoid.hpp"
#include "rig/model/random.hpp"

using namespace lobewright;

namespace {

template <class T, void (*release)(T*)>
struct Release {
    void operator()(T* held) const { release(held); }
};
using Matrix = std::unique_ptr<gsl_matrix, Release<gsl_matrix, gsl_matrix_free>>;
using Vector = std::unique_ptr<gsl_vector, Release<gsl_vector, gsl_vector_free>>;
using Workspace = std::unique_ptr<gsl_multifit_linear_workspace,
                                  Release<gsl_multifit_linear_workspace, gsl_multifit_linear_free>>;
using Basis = std::unique_ptr<gsl_bspline_workspace, Release<gsl_bspline_workspace, gsl_bspline_free>>;

/// Cardinal cubic B-splines on equal knot intervals of the turn, by the library's clamped basis on three intervals
/// more at either end: the functions that reach into the turn are then all alike.
class PeriodicBasis {
public:
    explicit PeriodicBasis(std::size_t knots)
        : knots_(knots),
          basis_(gsl_bspline_alloc(4, knots + 7)),
          values_(gsl_matrix_alloc(gsl_bspline_ncoeffs(basis_.get()), 3)) {
        const double h = two_pi / static_cast<double>(knots);
        gsl_bspline_knots_uniform(-3.0 * h, two_pi + 3.0 * h, basis_.get());
    }

    /// Value (0) or derivative (1, 2) of every function at an angle within the turn.
    std::vector<double> at(double theta_rad, std::size_t derivative) {
        gsl_bspline_deriv_eval(theta_rad, 2, values_.get(), basis_.get());
        std::vector<double> out(knots_, 0.0);
        // The function j stands about knot j - 4.
        for (std::size_t j = 0; j < values_->size1; ++j) {
            out[(j + 2 * knots_ - 4) % knots_] += gsl_matrix_get(values_.get(), j, derivative);
        }
        return out;
    }

private:
    std::size_t knots_;
    Basis basis_;
    Matrix values_;
};

double dot(const std::vector<double>& a, const std::vector<double>& b) {
    double sum = 0.0;
    for (std::size_t i = 0; i < a.size(); ++i) sum += a[i] * b[i];
    return sum;
}

/// Least squares by the library: coefficients, and the inverse of X'X.
struct LeastSquares {
    std::vector<double> c;
    std::vector<std::vector<double>> inverse;

    LeastSquares(const std::vector<std::vector<double>>& rows, const std::vector<double>& values) {
        const std::size_t n = rows.size(), p = rows.front().size();
        const Matrix x(gsl_matrix_alloc(n, p)), covariance(gsl_matrix_alloc(p, p));
        const Vector y(gsl_vector_alloc(n)), solution(gsl_vector_alloc(p));
        for (std::size_t i = 0; i < n; ++i) {
            gsl_vector_set(y.get(), i, values[i]);
            for (std::size_t j = 0; j < p; ++j) gsl_matrix_set(x.get(), i, j, rows[i][j]);
        }
        const Workspace work(gsl_multifit_linear_alloc(n, p));
        double squares = 0.0;
        gsl_multifit_linear(x.get(), y.get(), solution.get(), covariance.get(), &squares, work.get());
        // The library scales the covariance by the residuals' variance.
        const double variance = squares / static_cast<double>(n - p);
        inverse.assign(p, std::vector<double>(p));
        for (std::size_t j = 0; j < p; ++j) {
            c.push_back(gsl_vector_get(solution.get(), j));
            for (std::size_t k = 0; k < p; ++k) {
                inverse[j][k] = gsl_matrix_get(covariance.get(), j, k) / variance;
            }
        }
    }

    [[nodiscard]] double quadratic(const std::vector<double>& l) const {
        double sum = 0.0;
        for (std::size_t j = 0; j < l.size(); ++j) sum += l[j] * dot(inverse[j], l);
        return sum;
    }
};

struct Samples {
    std::vector<double> theta_rad, value, weight;
};

double hump(double theta_rad) {
    return 3.0 * std::exp(2.5 * (std::cos(theta_rad) - 1.0)) + 0.05 * std::cos(theta_rad);
}

/// Evenly or unevenly spaced, alike or unlike in weight; noise of 0.02.
Samples samples(std::size_t n, bool even) {
    Random random(n);
    Samples out;
    for (std::size_t i = 0; i < n; ++i) {
        const double theta =
            two_pi * (even ? static_cast<double>(i) / static_cast<double>(n) : random.uniform());
        out.theta_rad.push_back(theta);
        out.value.push_back(hump(theta) + 0.02 * random.normal());
        out.weight.push_back(even ? 1.0 : std::exp2(4.0 * random.uniform() - 2.0));
    }
    return out;
}

/// The penalised fit as one system of rows: integral f''^2 is exact by two Gauss points an interval, f'' being
/// straight there.
LeastSquares stacked_fit(PeriodicBasis& basis, const Samples& data, std::size_t knots, double lambda) {
    std::vector<std::vector<double>> rows;
    std::vector<double> values;
    const auto add = [&](std::vector<double> row, double value, double factor) {
        for (double& x : row) x *= factor;
        rows.push_back(std::move(row));
        values.push_back(factor * value);
    };
    for (std::size_t i = 0; i < data.value.size(); ++i) {
        add(basis.at(data.theta_rad[i], 0), data.value[i], std::sqrt(data.weight[i]));
    }
    const double h = two_pi / static_cast<double>(knots);
    for (std::size_t k = 0; k < knots; ++k) {
        for (const double side : {-1.0, 1.0}) {
            const double middle = h * (static_cast<double>(k) + 0.5);
            add(basis.at(middle + side * h / std::sqrt(12.0), 2), 0.0, std::sqrt(0.5 * lambda * h));
        }
    }
    return {rows, values};
}

struct Case {
    std::size_t samples, knots;
    double lambda;
    bool even;
};
constexpr std::array<Case, 5> cases{{{180, 36, 1e-3, true},
                                     {400, 36, 1e-3, false},
                                     {300, 60, 1e-5, false},
                                     {50, 72, 1e-4, false},
                                     {72, 72, 1e-7, true}}};

}  // namespace

TEST_CASE("the periodic smoothing spline is GSL's fit of the stacked system", "[outside][spline][gsl]") {
    for (const auto& one : cases) {
        CAPTURE(one.samples, one.knots, one.lambda, one.even);
        const Samples data = samples(one.samples, one.even);
        PeriodicBasis basis(one.knots);
        const LeastSquares gsl = stacked_fit(basis, data, one.knots, one.lambda);

        SplineSystem system(one.knots, 1);
        for (std::size_t i = 0; i < data.value.size(); ++i) {
            system.add(spline_site(data.theta_rad[i], one.knots), data.weight[i], std::array{data.value[i]});
        }
        const SplineSolver solver(system, one.lambda);
        const auto own = solver.fit(system, 0);

        std::array<double, 3> size{}, off{};
        for (int deg = 0; deg < 360; ++deg) {
            const double theta = two_pi * (deg + 0.3) / 360.0;
            const std::array<double, 3> mine{own.value(theta), own.first_derivative(theta),
                                             own.second_derivative(theta)};
            for (std::size_t d = 0; d < 3; ++d) {
                const double theirs = dot(basis.at(theta, d), gsl.c);
                size[d] = std::max(size[d], std::fabs(theirs));
                off[d] = std::max(off[d], std::fabs(mine[d] - theirs));
            }
        }
        for (std::size_t d = 0; d < 3; ++d) {
            CAPTURE(d, off[d] / size[d]);
            CHECK(off[d] < 1e-9 * size[d]);
        }

        double squares = 0.0, parameters = 0.0;
        for (std::size_t i = 0; i < data.value.size(); ++i) {
            const auto row = basis.at(data.theta_rad[i], 0);
            const double left = data.value[i] - dot(row, gsl.c);
            squares += data.weight[i] * left * left;
            parameters += data.weight[i] * gsl.quadratic(row);
        }
        // Sums of squares are kept of what is left of a first fit, as the lobes' fits do: a sum of whole values would
        // round away the residuals of a curve that all but goes through its samples.
        SplineSystem left(one.knots, 1);
        for (std::size_t i = 0; i < data.value.size(); ++i) {
            left.add(spline_site(data.theta_rad[i], one.knots), data.weight[i],
                     std::array{data.value[i] - own.value(data.theta_rad[i])});
        }
        left.add_origin(0, own.coefficients());
        const auto quality = spline_quality(left, solver, 0);
        CHECK(quality.rss == Approx(squares).epsilon(1e-9));
        CHECK(quality.edf == Approx(parameters).epsilon(1e-9));
    }
}

TEST_CASE("variance of a smoothed value is GSL's", "[outside][spline][gsl]") {
    const Case& one = cases[1];
    const Samples data = samples(one.samples, one.even);
    PeriodicBasis basis(one.knots);
    const LeastSquares gsl = stacked_fit(basis, data, one.knots, one.lambda);
    SplineSystem system(one.knots, 1);
    for (std::size_t i = 0; i < data.value.size(); ++i) {
        system.add(spline_site(data.theta_rad[i], one.knots), data.weight[i], std::array{data.value[i]});
    }
    const SplineSolver solver(system, one.lambda);
    for (const std::size_t derivative : {0U, 1U, 2U}) {
        for (const double theta : {0.0, 0.7, 3.3, 6.2}) {
            CAPTURE(derivative, theta);
            const auto l = basis.at(theta, derivative);
            // Each sample of weight w has the variance 1/w and moves the figure by w b'(X'X)^-1 l.
            double variance = 0.0;
            for (std::size_t i = 0; i < data.value.size(); ++i) {
                const auto row = basis.at(data.theta_rad[i], 0);
                double moved = 0.0;
                for (std::size_t j = 0; j < l.size(); ++j) moved += row[j] * dot(gsl.inverse[j], l);
                variance += data.weight[i] * moved * moved;
            }
            CHECK(solver.variance(system, l) == Approx(variance).epsilon(1e-9));
        }
    }
}

TEST_CASE("a base circle on an arc is GSL's fit", "[outside][circle][gsl]") {
    constexpr std::size_t n = 720;
    Random random(5);
    std::vector<double> readings(n);
    for (std::size_t g = 0; g < n; ++g) {
        const double theta = two_pi * static_cast<double>(g) / n;
        readings[g] = 0.3 + 0.02 * std::cos(theta - 1.0) + 1e-3 * random.normal();
    }
    for (const GridArc arc : {GridArc{0, 720}, GridArc{480, 401}, GridArc{100, 301}, GridArc{700, 120}}) {
        CAPTURE(arc.first, arc.count);
        std::vector<std::vector<double>> rows;
        std::vector<double> values;
        for (std::size_t i = 0; i < arc.count; ++i) {
            const std::size_t g = (arc.first + i) % n;
            const double theta = two_pi * static_cast<double>(g) / n;
            rows.push_back({1.0, std::cos(theta), std::sin(theta)});
            values.push_back(readings[g]);
        }
        const LeastSquares gsl(rows, values);
        const SinusoidFit own(n, arc);
        const auto circle = own.fit(readings);
        CHECK(circle.c0 == Approx(gsl.c[0]).epsilon(1e-9));
        CHECK(circle.a == Approx(gsl.c[1]).epsilon(1e-9));
        CHECK(circle.b == Approx(gsl.c[2]).epsilon(1e-9));
        const auto covariance = own.covariance();
        for (std::size_t j = 0; j < 3; ++j) {
            for (std::size_t k = 0; k < 3; ++k) {
                const double size = std::sqrt(gsl.inverse[j][j] * gsl.inverse[k][k]);
                CHECK(covariance[j][k] == Approx(gsl.inverse[j][k]).margin(1e-9 * size));
            }
        }
    }
}
