// Notation: l coefficient weights (B' w), x = A^-1 l, G the Gram matrix, phi the encoder's share of the
// variance.
//   noise variance = sum_c k_c x_c' G (1-phi) x_c + k_a (x_f+x_r)' G phi (x_f+x_r)
#include "analysis/uncertainty/influence.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

#include "analysis/constants.hpp"
#include "analysis/uncertainty/slow_spectra.hpp"

namespace lobewright {
namespace {

constexpr double expansion_per_k = 11e-6;  // steel 11.5e-6, grey iron 10.5e-6 (handbook values, from memory)

// An indicator's error swings, and how fast isn't stated. Their mean leaves heel and nose independent; the half-width
// decides what a ramp's taper carries: halved, its u95 grows by 8 %; as wide as the mean (no swing is likely too) it falls by 13 %.
constexpr double mean_swings = 0.75;  // over the travel
constexpr double half_width_swings = 0.45;

/// Rows of a table 5 degrees apart share an interpolation error over about that stretch.
constexpr std::size_t table_stretch = 10;

// The heel's form is looked at in blocks of four degrees: the circle carried over to the lobe knows no finer detail.
constexpr std::size_t form_block = 8;

constexpr double least_rounding = 1e-3;  // of a step: less of it shows nowhere

// Half a step either way is what a circle that moves no count may have for its once-per-turn part: half of that on the
// mean. Its direction is anyone's guess.
constexpr double circle_doubt_steps = 0.25;
constexpr int circles_before_step = 6;

std::complex<double> harmonic_of(const std::vector<double>& weights, std::size_t harmonic) {
    const auto [cosine, sine] = grid_angles(weights.size());
    double c = 0.0, s = 0.0;
    for (std::size_t g = 0, at = 0; g < weights.size(); ++g, at = (at + harmonic) % weights.size()) {
        c += weights[g] * cosine[at];
        s += weights[g] * sine[at];
    }
    return {c, s};
}

/// Variance that an error round the turn of unit variance, spread over the harmonics like this, gives a figure with
/// these weights.
double spectrum_gain(const std::vector<double>& weights, const SlowSpectrum& spectrum) {
    double sum = 0.0;
    for (std::size_t h = 0; h < spectrum.size(); ++h) {
        if (spectrum[h] > 0.0) sum += spectrum[h] * std::norm(harmonic_of(weights, h));
    }
    return sum;
}

/// Means (or sums) of a grid curve over the blocks of an arc.
std::vector<double> block_sums(const std::vector<double>& curve, GridArc arc) {
    std::vector<double> out(arc.count / form_block, 0.0);
    for (std::size_t i = 0; i < out.size() * form_block; ++i) {
        out[i / form_block] += curve[(arc.first + i) % curve.size()];
    }
    return out;
}

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

void accumulate(std::vector<double>& into, const std::vector<double>& from, double factor) {
    if (from.empty() || factor == 0.0) return;
    if (into.empty()) into.assign(from.size(), 0.0);
    for (std::size_t g = 0; g < from.size(); ++g) into[g] += factor * from[g];
}

}  // namespace

void CurveWeights::add(EdgeMix mix, const std::vector<double>& weights, double factor) {
    accumulate(lift[0], weights, factor * mix.front);
    accumulate(lift[1], weights, factor * mix.rear);
}

void Influence::add(const Influence& other, double factor) {
    for (std::size_t c = 0; c < 2; ++c) {
        accumulate(used.lift[c], other.used.lift[c], factor);
        accumulate(reference.lift[c], other.reference.lift[c], factor);
        for (std::size_t i = 0; i < 3; ++i) {
            used.circle[c][i] += factor * other.used.circle[c][i];
            reference.circle[c][i] += factor * other.reference.circle[c][i];
        }
    }
    datum += factor * other.datum;
    freed_of_smoothing = freed_of_smoothing && other.freed_of_smoothing;
    shape_variance += factor * factor * other.shape_variance;
}

double indicator_travel_mm(double lift_mm) {
    return std::max(lift_mm, 0.1);
}

double indicator_correlation(double distance_mm, double travel_mm) {
    const double x = two_pi * distance_mm / travel_mm, spread = half_width_swings * x;
    return std::cos(mean_swings * x) * (std::abs(spread) < 1e-6 ? 1.0 : std::sin(spread) / spread);
}

double indicator_slope_variance(double travel_mm) {
    const double per_mm = two_pi / travel_mm;
    return per_mm * per_mm * (mean_swings * mean_swings + half_width_swings * half_width_swings / 3.0);
}

std::array<double, rounding_count> rounding_harmonics(double step_mm, double seen_mm) {
    std::array<double, rounding_count> out{};
    if (step_mm <= 0.0) return out;
    constexpr double pi = std::numbers::pi;
    const double before = std::max(0.0, seen_mm * seen_mm - step_mm * step_mm / 12.0) / (step_mm * step_mm);
    for (std::size_t i = 0; i < out.size(); ++i) {
        const auto k = static_cast<double>(i + 1);
        out[i] = step_mm / (pi * k) * std::exp(-2.0 * pi * pi * k * k * before);
    }
    return out;
}

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
      bias_{shape_left_out(curve.solver, curve.front), shape_left_out(curve.solver, curve.rear)} {
    travel_mm_ = indicator_travel_mm(0.5 * (*std::max_element(shape.front.begin(), shape.front.end()) +
                                            *std::max_element(shape.rear.begin(), shape.rear.end())));
    for (double share : curve.noise.angle_share) {
        white_root_.push_back(std::sqrt(1.0 - share));
        angle_root_.push_back(std::sqrt(share));
    }
    const SplineSolver sharp(curve.system, 1e-3 * curve.solver.lambda());
    for (std::size_t c = 0; c < 2; ++c) {
        taken_[c] = sharp.fit(curve.system, c).coefficients();
        const auto& own = (c == 0 ? curve.front : curve.rear).coefficients();
        for (std::size_t j = 0; j < own.size(); ++j) taken_[c][j] -= own[j];
    }
    for (std::size_t c = 0; c < 2; ++c) before_step_[c] = readings_before_step(c);
    const double block_weight =
        curve.system.total_weight() * static_cast<double>(form_block) / static_cast<double>(grid_points);
    for (std::size_t c = 0; c < 2; ++c) {
        form_[c] = block_sums(c == 0 ? shape.front : shape.rear, heel.arc());
        for (double& mean : form_[c]) mean /= static_cast<double>(form_block);
        form_noise_[c] = (c == 0 ? curve.noise.factor_front : curve.noise.factor_rear) / block_weight;
    }
}

std::vector<std::vector<double>> RunUncertainty::readings_before_step(std::size_t edge) const {
    std::vector<std::vector<double>> out;
    if (rounding_[0] <= least_rounding * step_mm_) return out;
    const auto [cosine, sine] = grid_angles(grid_points);
    const Sinusoid& seen = edge == 0 ? shape_.front_circle : shape_.rear_circle;
    for (int i = 0; i < circles_before_step; ++i) {
        const double way = two_pi * i / circles_before_step, off = circle_doubt_steps * step_mm_;
        const double a = seen.a + off * std::cos(way), b = seen.b + off * std::sin(way);
        auto& reading = out.emplace_back(edge == 0 ? shape_.front_reading : shape_.rear_reading);
        const GridArc arc = heel_.arc();
        for (std::size_t p = 0, g = arc.first; p < arc.count; ++p, g = g + 1 == grid_points ? 0 : g + 1)
            reading[g] = seen.c0 + a * cosine[g] + b * sine[g];
    }
    return out;
}

void RunUncertainty::add_form(std::size_t edge, const std::vector<double>& heel_weights,
                              CommonCauses& common) const {
    const auto weights = block_sums(heel_weights, heel_.arc());
    const std::size_t n = weights.size();
    common.form_mm.resize(n, 0.0);
    for (std::size_t b = 0; b < n; ++b) {
        if (weights[b] == 0.0) continue;
        for (std::size_t shift = 0; shift < n; ++shift) {
            common.form_mm[shift] += weights[b] * form_[edge][(b + shift) % n];
        }
        common.form_noise += weights[b] * weights[b] * form_noise_[edge];
    }
}

void RunUncertainty::add_axis_doubt(const std::vector<double>& together, CommonCauses& common) const {
    const auto& doubt = curve_.axis_doubt_mm;
    if (common.axis.size() < doubt.size()) common.axis.resize(doubt.size());
    for (std::size_t n = 0; n < doubt.size(); ++n) {
        if (doubt[n] > 0.0) common.axis[n] += doubt[n] * harmonic_of(together, n);
    }
}

void RunUncertainty::add_drift(const std::vector<double>& together, const std::vector<double>& apart,
                               UncertaintyTerms& squares, CommonCauses& common) const {
    const auto& noise = curve_.noise;
    const std::array<const std::vector<double>*, 2> weights{&together, &apart};
    for (std::size_t w = 0; w < 2; ++w) {
        const auto& strength = noise.walk_strength[w];
        const double walked = strength.mm2_per_turn * noise.walk.gain(*weights[w]);
        const double own = 0.25 * (noise.factor_front + noise.factor_rear);
        squares.drift += walked + own * noise.walk.offsets_gain(*weights[w]);
        if (walked > 0.0) common.drift_spread += walked * walked / strength.degrees_of_freedom;
    }
    const double level = std::accumulate(apart.begin(), apart.end(), 0.0) * noise.apart_level_mm;
    squares.drift += level * level;
}

double RunUncertainty::encoder_variance(const std::array<std::vector<double>, 2>& weights) const {
    const double limit = curve_.encoder_limit_rad;
    if (limit <= 0.0) return 0.0;
    std::vector<double> per_rad(grid_points, 0.0);
    for (std::size_t c = 0; c < 2; ++c) {
        if (weights[c].empty()) continue;
        const auto& spline = c == 0 ? curve_.front : curve_.rear;
        for (std::size_t g = 0; g < grid_points; ++g) {
            const double theta = two_pi * static_cast<double>(g) / static_cast<double>(grid_points);
            per_rad[g] += weights[c][g] * spline.first_derivative(theta - offset_rad_);
        }
    }
    return limit * limit / 3.0 * spectrum_gain(per_rad, encoder_spectrum);
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

ReadingBins RunUncertainty::by_reading(const std::vector<double>& weights,
                                       const std::vector<double>& reading) const {
    ReadingBins out;
    const std::size_t last = out.weight.size() - 1;
    const auto [low, high] = std::minmax_element(reading.begin(), reading.end());
    out.step_mm = std::max(*high - *low, 1e-9) / static_cast<double>(last);
    for (std::size_t g = 0; g < weights.size(); ++g) {
        if (weights[g] == 0.0) continue;
        const double x = (reading[g] - *low) / out.step_mm;
        const auto i = std::min(static_cast<std::size_t>(x), last - 1);
        const double u = x - static_cast<double>(i);
        out.weight[i] += weights[g] * (1.0 - u);
        out.weight[i + 1] += weights[g] * u;
    }
    return out;
}

double RunUncertainty::rounding_sd_mm() const {
    double sum = 0.0;
    for (double amplitude : rounding_) sum += 0.5 * amplitude * amplitude;
    return std::sqrt(sum);
}

double RunUncertainty::rounding_variance(std::size_t edge, const std::vector<double>& weights) const {
    double sum = 0.0;
    for (const auto& reading : before_step_[edge]) sum += rounding_variance_at(weights, reading);
    return before_step_[edge].empty() ? 0.0 : sum / static_cast<double>(before_step_[edge].size());
}

double RunUncertainty::rounding_variance_at(const std::vector<double>& weights,
                                            const std::vector<double>& reading) const {
    double sum = 0.0;
    for (std::size_t k = 0; k < rounding_.size(); ++k) {
        if (rounding_[k] <= least_rounding * step_mm_) continue;
        const double per_mm = two_pi * static_cast<double>(k + 1) / step_mm_;
        double c = 0.0, s = 0.0;
        for (std::size_t g = 0; g < weights.size(); ++g) {
            if (weights[g] == 0.0) continue;
            // Between two grid angles the reading runs through its steps and averages them out: sinc of half
            // the phase.
            const std::size_t next = g + 1 == weights.size() ? 0 : g + 1;
            const double half = 0.5 * per_mm * std::abs(reading[next] - reading[g]);
            const double w = half < 1e-6 ? weights[g] : weights[g] * std::sin(half) / half;
            c += w * std::cos(per_mm * reading[g]);
            s += w * std::sin(per_mm * reading[g]);
        }
        sum += 0.5 * rounding_[k] * rounding_[k] * (c * c + s * s);
    }
    return sum;
}

double RunUncertainty::indicator_variance(const ReadingBins& bins) const {
    if (limit_mm_ <= 0.0) return 0.0;
    const auto& w = bins.weight;
    std::array<double, std::tuple_size_v<decltype(bins.weight)>> rho{};
    for (std::size_t d = 0; d < rho.size(); ++d) {
        rho[d] = indicator_correlation(static_cast<double>(d) * bins.step_mm, travel_mm_);
    }
    double sum = 0.0;
    for (std::size_t i = 0; i < w.size(); ++i) {
        if (w[i] == 0.0) continue;
        sum += w[i] * w[i];
        for (std::size_t j = 0; j < i; ++j) sum += 2.0 * w[i] * w[j] * rho[i - j];
    }
    return std::max(sum, 0.0) * limit_mm_ * limit_mm_ / 3.0;
}

std::vector<double> RunUncertainty::solve_or_scale(const std::vector<double>& l,
                                                   const std::vector<double>& other,
                                                   const std::vector<double>& other_x) const {
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
    return curve_.solver.solve(l);
}

void RunUncertainty::add_terms(const CurveWeights& weights, UncertaintyTerms& squares,
                               CommonCauses& common) const {
    std::array<std::vector<double>, 2> x, on_readings;
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
            squares.indicator += limit_mm_ * limit_mm_ / 3.0 * indicator_slope_variance(travel_mm_) * moved * moved;
            heel_.add_parameter_weights(p, raw);
        }
        squares.step += rounding_variance(c, raw);
        for (std::size_t g = 0; g < grid_points; ++g) {
            together[g] += raw[g];
            apart[g] += c == 0 ? -raw[g] : raw[g];
        }
        const auto l = coefficient_weights(raw);
        for (std::size_t j = 0; j < l.size(); ++j) bias += l[j] * bias_[c][j];
        x[c] = solve_or_scale(l, c == 1 ? first_l : std::vector<double>{}, x[0]);
        if (c == 0) first_l = l;
        on_readings[c] = std::move(raw);
    }
    common.smoothing_mm += bias;
    add_axis_doubt(together, common);
    add_drift(together, apart, squares, common);
    squares.encoder += encoder_variance(on_readings);
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

UncertaintyTerms LobeUncertainty::terms(const Influence& influence) const {
    UncertaintyTerms squares;
    CommonCauses common;
    used->add_terms(influence.used, squares, common);
    if (reference != nullptr) reference->add_terms(influence.reference, squares, common);
    UncertaintyTerms out;
    out.noise = std::sqrt(squares.noise);
    out.encoder = std::sqrt(squares.encoder);
    out.indicator = std::sqrt(squares.indicator);
    out.step = std::sqrt(squares.step);
    out.smoothing = influence.freed_of_smoothing ? 0.0 : std::abs(common.smoothing_mm);
    out.smoothing = std::hypot(out.smoothing, std::sqrt(influence.shape_variance));
    out.table = std::sqrt(squares.table);
    out.datum = std::abs(influence.datum) * datum_u_mm;
    out.passes = std::sqrt(squares.passes);
    out.drift = std::sqrt(squares.drift);
    out.drift_degrees_of_freedom =
        common.drift_spread > 0.0 ? squares.drift * squares.drift / common.drift_spread : 0.0;
    double form = 0.0;
    for (const double moved : common.form_mm)
        form += moved * moved / static_cast<double>(common.form_mm.size());
    out.form = std::sqrt(std::max(form - common.form_noise, 0.0));
    double axis = 0.0;
    for (const auto& moved : common.axis) axis += std::norm(moved);
    out.support = std::sqrt(axis);
    // The cam grows with its temperature, the lift with it; between the runs by up to the step, any size
    // equally likely.
    const double growth =
        std::max(std::abs(used->lift_in(influence.used)),
                 reference != nullptr ? std::abs(reference->lift_in(influence.reference)) : 0.0);
    out.temperature = expansion_per_k * temperature_step_k / std::sqrt(3.0) * growth;
    out.degrees_of_freedom = squares.degrees_of_freedom;
    return out;
}

Measured LobeUncertainty::figure(const char* name, double value, const Influence& influence,
                                 double unit) const {
    auto parts = terms(influence);
    for (const auto& source : uncertainty_sources) parts.*source.part *= unit;
    return figure(name, value * unit, parts);
}

Measured LobeUncertainty::figure(const char* name, double value, const UncertaintyTerms& terms) const {
    const Measured out{value, terms.expanded()};
    if (budget != nullptr) budget->push_back({name, out, terms});
    return out;
}

}  // namespace lobewright
