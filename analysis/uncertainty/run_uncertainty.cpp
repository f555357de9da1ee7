// Notation: l coefficient weights (B' w), x = A^-1 l, G the Gram matrix, phi the encoder's share of the
// variance.
//   noise variance = sum_c k_c x_c' G (1-phi) x_c + k_a (x_f+x_r)' G phi (x_f+x_r)
#include <algorithm>
#include <cmath>

#include "analysis/constants.hpp"
#include "analysis/uncertainty/influence.hpp"

namespace lobewright {
namespace {

/// Rows of a table 5 degrees apart share an interpolation error over about that stretch.
constexpr std::size_t table_stretch = 10;

constexpr double hardly_smoothed = 1e-3;  // of the curve's own smoothing

/// What a curve's coefficients leave out of a sharp shape. First, what the smoothing takes off, and once more what it
/// takes off that (the estimate comes from the smoothed curve). Second, what no spline of these knots holds: a jump J of
/// slope is drawn out over a knot interval s, J s/12 at the corner; J s is what the second difference there has over
/// those three knots on. (Derived; tests/outside/flat_worn_nose_test.cpp.)
std::vector<double> shape_left_out(const SplineSolver& solver, const PeriodicSpline& spline) {
    auto bias = solver.smoothing_bias(spline);
    const auto again = solver.smoothing_bias(PeriodicSpline(bias));
    const auto& c = spline.coefficients();
    const std::size_t k = c.size();
    std::vector<double> bend(k);
    for (std::size_t j = 0; j < k; ++j) bend[j] = c[(j + 1) % k] - 2.0 * c[j] + c[(j + k - 1) % k];
    for (std::size_t j = 0; j < k; ++j) {
        const double corner = bend[j] - 0.5 * (bend[(j + 3) % k] + bend[(j + k - 3) % k]);
        bias[j] += again[j] - corner / 12.0;
    }
    return bias;
}

/// A^-1 l; scaled from the other edge's where the weights are in proportion, as they are for any one place along z.
std::vector<double> solve_or_scale(const SplineSolver& solver, const std::vector<double>& l,
                                   const std::vector<double>& other, const std::vector<double>& other_x) {
    if (!other.empty()) {
        std::size_t top = 0;
        for (std::size_t j = 1; j < other.size(); ++j) {
            if (std::abs(other[j]) > std::abs(other[top])) top = j;
        }
        const double ratio = l[top] / other[top], tiny = 1e-12 * (std::abs(l[top]) + std::abs(other[top]));
        bool proportional = other[top] != 0.0;
        for (std::size_t j = 0; proportional && j < l.size(); ++j) {
            proportional = std::abs(l[j] - ratio * other[j]) <= tiny;
        }
        if (proportional) {
            std::vector<double> x = other_x;
            for (double& value : x) value *= ratio;
            return x;
        }
    }
    return solver.solve(l);
}

}  // namespace

RunUncertainty::RunUncertainty(const LobeCurve& curve, const LobeOnGrid& shape, const SinusoidFit& heel,
                               const RigInfo& rig, double offset_rad)
    : curve_(curve),
      shape_(shape),
      heel_(heel),
      offset_rad_(offset_rad),
      limit_mm_(rig.error_limit_mm.value_or(0.0)),
      rounding_{rounding_harmonics(rig.resolution_mm.value_or(0.0),
                                   std::min(curve.noise.sigma_front_mm, curve.noise.sigma_rear_mm))},
      step_mm_(rig.resolution_mm.value_or(0.0)),
      bias_{shape_left_out(curve.solver, curve.front), shape_left_out(curve.solver, curve.rear)},
      sharp_(curve.system, hardly_smoothed * curve.solver.lambda()) {
    travel_mm_ = indicator_travel_mm(0.5 * (*std::max_element(shape.front.begin(), shape.front.end()) +
                                            *std::max_element(shape.rear.begin(), shape.rear.end())));
    for (double share : curve.noise.angle_share) {
        white_root_.push_back(std::sqrt(1.0 - share));
        angle_root_.push_back(std::sqrt(share));
    }
    for (std::size_t c = 0; c < 2; ++c) {
        taken_[c] = sharp_.fit(curve.system, c).coefficients();
        const auto& own = (c == 0 ? curve.front : curve.rear).coefficients();
        for (std::size_t j = 0; j < own.size(); ++j) taken_[c][j] -= own[j];
    }
    for (std::size_t c = 0; c < 2; ++c) before_step_[c] = readings_before_step(c);
    look_at_form();
}

std::vector<double> RunUncertainty::coefficient_weights(const std::vector<double>& grid_weights) const {
    const std::size_t k = curve_.system.knots();
    std::vector<double> l(k, 0.0);
    SplineSite site = spline_site(-offset_rad_, k);
    for (std::size_t g = 0; g < grid_points; ++g) {
        if (k != grid_points && g > 0) {
            site = spline_site(
                two_pi * static_cast<double>(g) / static_cast<double>(grid_points) - offset_rad_, k);
        }
        for (std::size_t p = 0, j = site.first; p < 4; ++p, j = j + 1 == k ? 0 : j + 1) {
            l[j] += grid_weights[g] * site.weight[p];
        }
        if (k == grid_points) site.first = site.first + 1 == k ? 0 : site.first + 1;
    }
    return l;
}

void RunUncertainty::add_noise(const std::array<std::vector<double>, 2>& x, UncertaintyTerms& squares) const {
    const std::array<double, 2> factor{curve_.noise.factor_front, curve_.noise.factor_rear};
    std::vector<double> both(curve_.system.knots(), 0.0);
    for (std::size_t c = 0; c < 2; ++c) {
        if (x[c].empty()) continue;
        std::vector<double> white(x[c].size());
        for (std::size_t j = 0; j < white.size(); ++j) {
            white[j] = x[c][j] * white_root_[j];
            both[j] += x[c][j] * angle_root_[j];
        }
        squares.noise += factor[c] * curve_.system.gram_product(white, white);
    }
    squares.encoder += curve_.noise.factor_angle * curve_.system.gram_product(both, both);
}

double RunUncertainty::scatter_variance(const CurveWeights& weights) const {
    std::array<std::vector<double>, 2> x, l;
    for (std::size_t c = 0; c < 2; ++c) {
        if (weights.lift[c].empty()) continue;
        auto raw = shape_.on_tip(c, weights.lift[c]);
        heel_.remove_adjoint(raw);
        l[c] = coefficient_weights(raw);
        x[c] = solve_or_scale(curve_.solver, l[c], c == 1 ? l[0] : std::vector<double>{}, x[0]);
    }
    UncertaintyTerms squares;
    add_noise(x, squares);
    return squares.noise + squares.encoder;
}

void RunUncertainty::add_terms(const CurveWeights& weights, UncertaintyTerms& squares, CommonCauses& common,
                               bool freed_of_smoothing) const {
    std::array<std::vector<double>, 2> x, on_readings;
    const SplineSolver& solver = freed_of_smoothing ? sharp_ : curve_.solver;
    std::vector<double> first_l;
    std::vector<double> together(grid_points, 0.0), apart(grid_points, 0.0);
    double bias = 0.0;
    const std::array<const std::vector<double>*, 2> reading{&shape_.front_reading, &shape_.rear_reading};
    for (std::size_t c = 0; c < 2; ++c) {
        const auto& p = weights.circle[c];
        const bool has_circle = p[0] != 0.0 || p[1] != 0.0 || p[2] != 0.0;
        if (weights.lift[c].empty() && !has_circle) continue;
        std::vector<double> raw = weights.lift[c].empty() ? std::vector<double>(grid_points, 0.0)
                                                          : shape_.on_tip(c, weights.lift[c]);
        if (curve_.interpolation_mm > 0.0) {
            for (std::size_t from = 0; from < grid_points; from += table_stretch) {
                double sum = 0.0;
                for (std::size_t g = from; g < from + table_stretch; ++g) sum += raw[g];
                squares.table += sum * sum * curve_.interpolation_mm * curve_.interpolation_mm;
            }
        }
        std::vector<double> on_heel = raw;
        heel_.remove_adjoint(raw);
        for (std::size_t g = 0; g < grid_points; ++g) on_heel[g] = raw[g] - on_heel[g];
        add_form(c, on_heel, common);
        common.form_noise += rounding_variance(c, on_heel);
        // The level's own indicator error is in the datum as well, which was read near the same place; over the
        // micrometres that the circle's once-per-turn part moves the reading by, only the error's slope shows.
        squares.indicator += indicator_variance(by_reading(raw, *reading[c]));
        if (has_circle) {
            const Sinusoid& circle = c == 0 ? shape_.front_circle : shape_.rear_circle;
            const double moved = p[1] * circle.a + p[2] * circle.b;
            squares.indicator +=
                limit_mm_ * limit_mm_ / 3.0 * indicator_slope_variance(travel_mm_) * moved * moved;
            heel_.add_parameter_weights(p, raw);
        }
        squares.step += rounding_variance(c, raw);
        for (std::size_t g = 0; g < grid_points; ++g) {
            together[g] += raw[g];
            apart[g] += c == 0 ? -raw[g] : raw[g];
        }
        const auto l = coefficient_weights(raw);
        for (std::size_t j = 0; j < l.size(); ++j) bias += l[j] * bias_[c][j];
        x[c] = solve_or_scale(solver, l, c == 1 ? first_l : std::vector<double>{}, x[0]);
        if (c == 0) first_l = l;
        on_readings[c] = std::move(raw);
    }
    common.smoothing_mm += bias;
    add_axis_doubt(together, common);
    add_drift(together, apart, squares, common);
    squares.encoder += encoder_variance(on_readings);
    add_noise(x, squares);
    squares.degrees_of_freedom += curve_.noise.degrees_of_freedom;
}

double RunUncertainty::smoothing_taken(const CurveWeights& weights) const {
    double sum = 0.0;
    for (std::size_t c = 0; c < 2; ++c) {
        if (weights.lift[c].empty()) continue;
        auto raw = shape_.on_tip(c, weights.lift[c]);
        heel_.remove_adjoint(raw);
        const auto l = coefficient_weights(raw);
        for (std::size_t j = 0; j < l.size(); ++j) sum += l[j] * taken_[c][j];
    }
    return sum;
}

double RunUncertainty::lift_in(const CurveWeights& weights) const {
    double sum = 0.0;
    if (!weights.lift[0].empty()) sum += weighted_sum(weights.lift[0], shape_.front);
    if (!weights.lift[1].empty()) sum += weighted_sum(weights.lift[1], shape_.rear);
    return sum;
}

std::array<double, 2> RunUncertainty::noise_at(double position, const std::array<EdgeMix, 2>& mixes) const {
    const auto x = curve_.solver.solve(coefficient_weights(shape_.on_tip(0, point_weights(position))));
    std::vector<double> white(x.size()), angle(x.size());
    for (std::size_t j = 0; j < x.size(); ++j) {
        white[j] = x[j] * white_root_[j];
        angle[j] = x[j] * angle_root_[j];
    }
    const double reading = curve_.system.gram_product(white, white);
    const double encoder = curve_.noise.factor_angle * curve_.system.gram_product(angle, angle);
    std::array<double, 2> sd{};
    for (std::size_t e = 0; e < 2; ++e) {
        const auto& m = mixes[e];
        sd[e] = std::sqrt(reading * (m.front * m.front * curve_.noise.factor_front +
                                     m.rear * m.rear * curve_.noise.factor_rear) +
                          encoder * (m.front + m.rear) * (m.front + m.rear));
    }
    return sd;
}

}  // namespace lobewright
