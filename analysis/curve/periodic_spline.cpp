// Notation: K knots, h = 2 pi / K the knot interval, G the Gram matrix, P the roughness matrix, A = G +
// lambda P. A is symmetric, banded (half-width 3) and cyclic. Its last three unknowns are kept as a border,
// so that A = L D L' has L with three entries down the band and three in the border for each column.
#include "analysis/curve/periodic_spline.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "analysis/constants.hpp"

namespace lobewright {
namespace {

/// Upper bands of P for h = 1: the integrals of B_j'' B_{j+d}'', d = 0..3, of the cardinal cubic B-spline.
constexpr std::array<double, 4> roughness_bands{8.0 / 3.0, -3.0 / 2.0, 0.0, 1.0 / 6.0};

double roughness_scale(std::size_t knots) {
    const double h = two_pi / static_cast<double>(knots);
    return 1.0 / (h * h * h);
}

/// Weight p of an interval's four basis functions as a polynomial: sum over k of basis[p][k] u^k.
constexpr std::array<std::array<double, 4>, 4> basis{{{1.0 / 6.0, -0.5, 0.5, -1.0 / 6.0},
                                                      {2.0 / 3.0, 0.0, -1.0, 0.5},
                                                      {1.0 / 6.0, 0.5, 0.5, -0.5},
                                                      {0.0, 0.0, 0.0, 1.0 / 6.0}}};

/// basis[p] basis[q] as a polynomial: product[p][q][m] the coefficient of u^m.
constexpr auto basis_products = [] {
    std::array<std::array<std::array<double, 7>, 4>, 4> product{};
    for (std::size_t p = 0; p < 4; ++p) {
        for (std::size_t q = 0; q < 4; ++q) {
            for (std::size_t k = 0; k < 4; ++k) {
                for (std::size_t l = 0; l < 4; ++l) product[p][q][k + l] += basis[p][k] * basis[q][l];
            }
        }
    }
    return product;
}();

template <typename Weights>
double combine(const std::vector<double>& c, std::size_t interval, const Weights& weight) {
    const std::size_t k = c.size();
    std::size_t j = interval == 0 ? k - 1 : interval - 1;
    double sum = 0.0;
    for (double w : weight) {
        sum += w * c[j];
        j = j + 1 == k ? 0 : j + 1;
    }
    return sum;
}

}  // namespace

SplineSite spline_site(double theta_rad, std::size_t knots) {
    const auto [interval, u] = spline_place(theta_rad, knots);
    const double v = 1.0 - u, u2 = u * u, v2 = v * v;
    return {interval == 0 ? knots - 1 : interval - 1,
            {v * v2 / 6.0, (4.0 - 6.0 * u2 + 3.0 * u * u2) / 6.0, (4.0 - 6.0 * v2 + 3.0 * v * v2) / 6.0,
             u * u2 / 6.0}};
}

double PeriodicSpline::value(double theta_rad) const {
    const auto site = spline_site(theta_rad, c_.size());
    return combine(c_, (site.first + 1) % c_.size(), site.weight);
}

double PeriodicSpline::first_derivative(double theta_rad) const {
    const auto [interval, u] = spline_place(theta_rad, c_.size());
    const double per_rad = static_cast<double>(c_.size()) / two_pi;
    const double v = 1.0 - u;
    const std::array<double, 4> weight{-0.5 * v * v * per_rad, (1.5 * u - 2.0) * u * per_rad,
                                       (2.0 - 1.5 * v) * v * per_rad, 0.5 * u * u * per_rad};
    return combine(c_, interval, weight);
}

double PeriodicSpline::second_derivative(double theta_rad) const {
    const auto [interval, u] = spline_place(theta_rad, c_.size());
    const double per_rad = static_cast<double>(c_.size()) / two_pi;
    const double s = per_rad * per_rad;
    const std::array<double, 4> weight{(1.0 - u) * s, (3.0 * u - 2.0) * s, (1.0 - 3.0 * u) * s, u * s};
    return combine(c_, interval, weight);
}

std::array<double, 4> PeriodicSpline::cubic(std::size_t interval) const {
    std::array<double, 4> out{};
    for (std::size_t p = 0, j = interval == 0 ? c_.size() - 1 : interval - 1; p < 4;
         ++p, j = j + 1 == c_.size() ? 0 : j + 1) {
        for (std::size_t k = 0; k < 4; ++k) out[k] += basis[p][k] * c_[j];
    }
    return out;
}

SplineSystem::SplineSystem(std::size_t knots, std::size_t curves)
    : knots_(knots),
      gram_(knots),
      left_(curves, std::vector<double>(knots, 0.0)),
      origin_(left_),
      origin_part_(left_),
      squares_(curves, 0.0) {
    if (knots < 8) throw std::domain_error("a periodic spline needs at least 8 knots");
}

void SplineSystem::add(const SplineSite& site, double w, std::span<const double> values) {
    std::array<std::size_t, 4> at{};
    std::size_t j = site.first;
    for (auto& index : at) {
        index = j;
        j = j + 1 == knots_ ? 0 : j + 1;
    }
    for (std::size_t p = 0; p < 4; ++p) {
        const double wp = w * site.weight[p];
        auto& row = gram_[at[p]];
        for (std::size_t q = p; q < 4; ++q) row[q - p] += wp * site.weight[q];
        for (std::size_t curve = 0; curve < left_.size(); ++curve) left_[curve][at[p]] += wp * values[curve];
    }
    for (std::size_t curve = 0; curve < left_.size(); ++curve) {
        squares_[curve] += w * values[curve] * values[curve];
    }
    total_weight_ += w;
    ++samples_;
}

void SplineSystem::add(std::size_t interval, const IntervalMoments& moments) {
    const std::size_t first = interval == 0 ? knots_ - 1 : interval - 1;
    for (std::size_t p = 0, j = first; p < 4; ++p, j = j + 1 == knots_ ? 0 : j + 1) {
        for (std::size_t q = p; q < 4; ++q) {
            double sum = 0.0;
            for (std::size_t m = 0; m < 7; ++m) sum += basis_products[p][q][m] * moments.weight[m];
            gram_[j][q - p] += sum;
        }
        for (std::size_t curve = 0; curve < 2; ++curve) {
            double sum = 0.0;
            for (std::size_t k = 0; k < 4; ++k) sum += basis[p][k] * moments.value[k][curve];
            left_[curve][j] += sum;
        }
    }
    for (std::size_t curve = 0; curve < 2; ++curve) squares_[curve] += moments.squares[curve];
    total_weight_ += moments.weight[0];
    samples_ += moments.samples;
}

void SplineSystem::shift_values(std::size_t curve, std::span<const double> offset, double squares) {
    // The mean of each basis value over an interval: the integrals of the cardinal B-spline's four pieces.
    constexpr std::array<double, 4> mean{1.0 / 24.0, 11.0 / 24.0, 11.0 / 24.0, 1.0 / 24.0};
    for (std::size_t k = 0; k < knots_; ++k) {
        for (std::size_t p = 0; p < 4; ++p) {
            const std::size_t j = (k + knots_ - 1 + p) % knots_;
            left_[curve][j] -= mean[p] * offset[k];
        }
    }
    squares_[curve] += squares;
}

void SplineSystem::add_origin(std::size_t curve, std::span<const double> coefficients) {
    const auto product = gram_times(coefficients);
    for (std::size_t j = 0; j < knots_; ++j) {
        origin_part_[curve][j] += product[j];
        origin_[curve][j] += coefficients[j];
    }
}

std::vector<double> SplineSystem::rhs(std::size_t curve) const {
    std::vector<double> out = left_[curve];
    for (std::size_t j = 0; j < knots_; ++j) out[j] += origin_part_[curve][j];
    return out;
}

double SplineSystem::residual_squares(std::size_t curve, std::span<const double> coefficients) const {
    std::vector<double> x(knots_);
    double cross = 0.0;
    for (std::size_t j = 0; j < knots_; ++j) {
        x[j] = coefficients[j] - origin_[curve][j];
        cross += x[j] * left_[curve][j];
    }
    return std::max(0.0, squares_[curve] - 2.0 * cross + gram_product(x, x));
}

std::vector<double> SplineSystem::gram_times(std::span<const double> x) const {
    std::vector<double> out(knots_, 0.0);
    for (std::size_t j = 0; j < knots_; ++j) {
        out[j] += gram_[j][0] * x[j];
        for (std::size_t d = 1; d < 4; ++d) {
            const std::size_t i = j + d < knots_ ? j + d : j + d - knots_;
            out[j] += gram_[j][d] * x[i];
            out[i] += gram_[j][d] * x[j];
        }
    }
    return out;
}

double SplineSystem::gram_product(std::span<const double> x, std::span<const double> y) const {
    double sum = 0.0;
    for (std::size_t j = 0; j < knots_; ++j) {
        sum += gram_[j][0] * x[j] * y[j];
        for (std::size_t d = 1; d < 4; ++d) {
            const std::size_t i = j + d < knots_ ? j + d : j + d - knots_;
            sum += gram_[j][d] * (x[j] * y[i] + x[i] * y[j]);
        }
    }
    return sum;
}

SplineSolver::SplineSolver(const SplineSystem& system, double lambda)
    : inner_(system.knots() - 3), lambda_(lambda) {
    auto upper = system.gram();
    const double scale = lambda * roughness_scale(system.knots());
    for (auto& row : upper) {
        for (std::size_t d = 0; d < 4; ++d) row[d] += scale * roughness_bands[d];
    }
    factor(upper);
}

void SplineSolver::factor(const std::vector<std::array<double, 4>>& upper) {
    const std::size_t k = upper.size(), m = inner_;
    pivot_.resize(m);
    band_.assign(m, {});
    border_.assign(m, {});
    for (std::size_t j = 0; j < k; ++j) {  // spread the cyclic bands over band, border and corner
        for (std::size_t d = 0; d < 4; ++d) {
            const std::size_t i = (j + d) % k;
            const std::size_t lo = std::min(i, j), hi = std::max(i, j);
            if (lo >= m) {
                corner_[hi - m][lo - m] += upper[j][d];
            } else if (hi >= m) {
                border_[lo][hi - m] += upper[j][d];
            } else if (d == 0) {
                pivot_[j] = upper[j][0];
            } else {
                band_[lo][hi - lo - 1] += upper[j][d];
            }
        }
    }
    for (std::size_t j = 0; j < m; ++j) {
        const double pivot = pivot_[j];
        if (!(pivot > 0.0)) throw std::domain_error("spline matrix is not positive definite");
        auto& band = band_[j];
        auto& border = border_[j];
        const std::array<double, 3> v = band, b = border;
        for (std::size_t p = 0; p < 3; ++p) {
            band[p] /= pivot;
            border[p] /= pivot;
        }
        const std::size_t reach = std::min<std::size_t>(3, m - 1 - j);
        for (std::size_t p = 0; p < reach; ++p) {
            pivot_[j + 1 + p] -= band[p] * v[p];
            for (std::size_t q = p + 1; q < reach; ++q) band_[j + 1 + p][q - p - 1] -= band[p] * v[q];
            for (std::size_t q = 0; q < 3; ++q) border_[j + 1 + p][q] -= band[p] * b[q];
        }
        for (std::size_t p = 0; p < 3; ++p) {
            for (std::size_t q = 0; q <= p; ++q) corner_[p][q] -= border[p] * b[q];
        }
    }
    for (std::size_t p = 0; p < 3; ++p) {
        corner_pivot_[p] = corner_[p][p];
        if (!(corner_pivot_[p] > 0.0)) throw std::domain_error("spline matrix is not positive definite");
        for (std::size_t r = p + 1; r < 3; ++r) {
            const double l = corner_[r][p] / corner_pivot_[p];
            for (std::size_t q = p + 1; q <= r; ++q) corner_[r][q] -= l * corner_[q][p];
        }
        for (std::size_t r = p + 1; r < 3; ++r) corner_[r][p] /= corner_pivot_[p];
    }
}

/// Several right-hand sides at once: each step of one waits for the one before, and the other's fills the wait.
template <std::size_t N>
void SplineSolver::solve_in_place(std::vector<std::array<double, N>>& x) const {
    const std::size_t m = inner_;
    const auto take = [](std::array<double, N>& from, double factor, const std::array<double, N>& what) {
        for (std::size_t n = 0; n < N; ++n) from[n] -= factor * what[n];
    };
    for (std::size_t j = 0; j < m; ++j) {
        const std::size_t reach = std::min<std::size_t>(3, m - 1 - j);
        for (std::size_t p = 0; p < reach; ++p) take(x[j + 1 + p], band_[j][p], x[j]);
        for (std::size_t p = 0; p < 3; ++p) take(x[m + p], border_[j][p], x[j]);
    }
    for (std::size_t n = 0; n < N; ++n) {
        x[m + 1][n] -= corner_[1][0] * x[m][n];
        x[m + 2][n] -= corner_[2][0] * x[m][n] + corner_[2][1] * x[m + 1][n];
        for (std::size_t p = 0; p < 3; ++p) x[m + p][n] /= corner_pivot_[p];
        x[m + 1][n] -= corner_[2][1] * x[m + 2][n];
        x[m][n] -= corner_[1][0] * x[m + 1][n] + corner_[2][0] * x[m + 2][n];
    }
    for (std::size_t j = m; j-- > 0;) {
        auto sum = x[j];
        for (double& s : sum) s /= pivot_[j];
        const std::size_t reach = std::min<std::size_t>(3, m - 1 - j);
        for (std::size_t p = 0; p < reach; ++p) take(sum, band_[j][p], x[j + 1 + p]);
        for (std::size_t p = 0; p < 3; ++p) take(sum, border_[j][p], x[m + p]);
        x[j] = sum;
    }
}

std::vector<double> SplineSolver::inverse_times(std::span<const double> rhs) const {
    std::vector<std::array<double, 1>> x(rhs.size());
    for (std::size_t j = 0; j < x.size(); ++j) x[j] = {rhs[j]};
    solve_in_place(x);
    std::vector<double> out(x.size());
    for (std::size_t j = 0; j < x.size(); ++j) out[j] = x[j][0];
    return out;
}

std::vector<double> SplineSolver::solve(std::span<const double> rhs) const {
    auto out = inverse_times(rhs);
    if (!given_back_) return out;
    const auto taken = taken_once(out);
    for (std::size_t j = 0; j < out.size(); ++j) out[j] += taken[j];
    return out;
}

SplineSolver SplineSolver::given_back() const {
    SplineSolver out = *this;
    out.given_back_ = true;
    return out;
}

std::array<std::vector<double>, 2> SplineSolver::solve_both(std::span<const double> first,
                                                            std::span<const double> second) const {
    if (given_back_) return {solve(first), solve(second)};
    std::vector<std::array<double, 2>> x(first.size());
    for (std::size_t j = 0; j < x.size(); ++j) x[j] = {first[j], second[j]};
    solve_in_place(x);
    std::array<std::vector<double>, 2> out{std::vector<double>(x.size()), std::vector<double>(x.size())};
    for (std::size_t j = 0; j < x.size(); ++j) {
        out[0][j] = x[j][0];
        out[1][j] = x[j][1];
    }
    return out;
}

PeriodicSpline SplineSolver::fit(const SplineSystem& system, std::size_t curve) const {
    return PeriodicSpline(solve(system.rhs(curve)));
}

// Takahashi's recurrence: the entries of Z = A^-1 on the pattern of L, from the last column to the first,
//   Z(i, j) = -sum_k L(k, j) Z(i, k),   Z(j, j) = 1/D(j) - sum_k L(k, j) Z(k, j),   k over column j's
//   pattern.
double SplineSolver::effective_parameters(const SplineSystem& system) const {
    const std::size_t m = inner_, k = m + 3;
    std::array<std::array<double, 3>, 3> zc{};  // Z on the corner, both triangles
    {
        const double l10 = corner_[1][0], l20 = corner_[2][0], l21 = corner_[2][1];
        zc[2][2] = 1.0 / corner_pivot_[2];
        zc[1][2] = zc[2][1] = -l21 * zc[2][2];
        zc[1][1] = 1.0 / corner_pivot_[1] - l21 * zc[1][2];
        zc[0][2] = zc[2][0] = -l10 * zc[1][2] - l20 * zc[2][2];
        zc[0][1] = zc[1][0] = -l10 * zc[1][1] - l20 * zc[2][1];
        zc[0][0] = 1.0 / corner_pivot_[0] - l10 * zc[0][1] - l20 * zc[0][2];
    }
    // near[p][q] = Z(j+1+p, j+1+q), side[p][q] = Z(j+1+p, K-3+q) for the three columns behind j.
    std::array<std::array<double, 3>, 3> near{}, side{};
    const auto& gram = system.gram();
    double trace = 0.0;
    for (std::size_t p = 0; p < 3; ++p) trace += zc[p][p] * gram[m + p][0];
    trace += 2.0 * (zc[0][1] * gram[m][1] + zc[1][2] * gram[m + 1][1] + zc[0][2] * gram[m][2]);
    for (std::size_t j = m; j-- > 0;) {
        const auto& l = band_[j];
        const auto& e = border_[j];
        std::array<double, 3> zn{}, zs{};
        for (std::size_t p = 0; p < 3; ++p) {
            for (std::size_t q = 0; q < 3; ++q) {
                zn[p] -= l[q] * near[p][q] + e[q] * side[p][q];
                zs[p] -= l[q] * side[q][p] + e[q] * zc[p][q];
            }
        }
        double zjj = 1.0 / pivot_[j];
        for (std::size_t q = 0; q < 3; ++q) zjj -= l[q] * zn[q] + e[q] * zs[q];
        trace += zjj * gram[j][0];
        for (std::size_t d = 1; d < 4; ++d) {  // G(j, j+d), which may reach into the border
            const double z = j + d < m ? zn[d - 1] : zs[j + d - m];
            trace += 2.0 * z * gram[j][d];
        }
        for (std::size_t r = m; r < k; ++r) {  // G(r, j) that came round the turn: r + d = j + K, d = 1..3
            const std::size_t d = j + k - r;
            if (d < 4) trace += 2.0 * zs[r - m] * gram[r][d];
        }
        for (std::size_t p = 2; p > 0; --p) {
            for (std::size_t q = 2; q > 0; --q) near[p][q] = near[p - 1][q - 1];
            side[p] = side[p - 1];
        }
        near[0][0] = zjj;
        near[0][1] = near[1][0] = zn[0];
        near[0][2] = near[2][0] = zn[1];
        side[0] = zs;
    }
    return trace;
}

double SplineSolver::variance(const SplineSystem& system, std::span<const double> l) const {
    const auto x = solve(l);
    return system.gram_product(x, x);
}

std::vector<double> SplineSolver::taken_once(std::span<const double> c) const {
    const std::size_t k = c.size();
    const double scale = lambda_ * roughness_scale(k);
    std::vector<double> pc(k);
    for (std::size_t j = 0; j < k; ++j) {
        double sum = roughness_bands[0] * c[j];
        for (std::size_t d = 1; d < 4; ++d) sum += roughness_bands[d] * (c[(j + d) % k] + c[(j + k - d) % k]);
        pc[j] = scale * sum;
    }
    return inverse_times(pc);
}

std::vector<double> SplineSolver::smoothing_bias(const PeriodicSpline& spline) const {
    const auto taken = taken_once(spline.coefficients());
    return given_back_ ? taken_once(taken) : taken;
}

double roughness(const PeriodicSpline& spline) {
    const auto& c = spline.coefficients();
    const std::size_t k = c.size();
    double sum = 0.0;
    for (std::size_t j = 0; j < k; ++j) {
        sum += roughness_bands[0] * c[j] * c[j];
        for (std::size_t d = 1; d < 4; ++d) sum += 2.0 * roughness_bands[d] * c[j] * c[(j + d) % k];
    }
    return sum * roughness_scale(k);
}

SplineQuality spline_quality(const SplineSystem& system, const SplineSolver& solver, std::size_t curve) {
    const auto c = solver.solve(system.rhs(curve));
    return {system.residual_squares(curve, c), solver.effective_parameters(system)};
}

double choose_smoothing(const SplineSystem& system, double s2) {
    const auto k = static_cast<double>(system.knots());
    // lambda is measured against the weight a knot interval carries: unit = no smoothing at the knot scale
    // yet.
    const double unit = system.total_weight() / k / roughness_scale(system.knots());
    std::vector<std::vector<double>> rhs;
    for (std::size_t curve = 0; curve < system.curves(); ++curve) rhs.push_back(system.rhs(curve));
    const auto criterion = [&](double decades) {
        const SplineSolver solver(system, unit * std::pow(10.0, decades));
        const double edf = solver.effective_parameters(system);
        double sum = 0.0;
        if (rhs.size() == 2) {
            const auto both = solver.solve_both(rhs[0], rhs[1]);
            for (std::size_t curve = 0; curve < 2; ++curve)
                sum += system.residual_squares(curve, both[curve]) / s2 + 2.0 * edf;
            return sum;
        }
        for (std::size_t curve = 0; curve < rhs.size(); ++curve)
            sum += system.residual_squares(curve, solver.solve(rhs[curve])) / s2 + 2.0 * edf;
        return sum;
    };
    constexpr double golden = 0.6180339887498949;
    double low = -4.0, high = 5.0;  // decades; the criterion has one minimum in practice
    double a = high - golden * (high - low), b = low + golden * (high - low);
    double fa = criterion(a), fb = criterion(b);
    while (high - low > 0.5) {
        if (fa < fb) {
            high = b;
            b = a;
            fb = fa;
            a = high - golden * (high - low);
            fa = criterion(a);
        } else {
            low = a;
            a = b;
            fa = fb;
            b = low + golden * (high - low);
            fb = criterion(b);
        }
    }
    return unit * std::pow(10.0, 0.5 * (low + high));
}

}  // namespace lobewright
