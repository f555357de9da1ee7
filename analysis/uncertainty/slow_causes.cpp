// What is slower than a turn in a figure: the heel's form, the axis, wander, the encoder's own error.
#include <array>
#include <cmath>
#include <complex>
#include <numeric>

#include "analysis/constants.hpp"
#include "analysis/uncertainty/influence.hpp"
#include "analysis/uncertainty/slow_spectra.hpp"

namespace lobewright {
namespace {

// The heel's form is looked at in blocks of four degrees: the circle carried over to the lobe knows no finer detail.
constexpr std::size_t form_block = 8;

std::complex<double> harmonic_of(const std::vector<double>& weights, std::size_t harmonic) {
    const auto [cosine, sine] = grid_angles(weights.size());
    double c = 0.0, s = 0.0;
    for (std::size_t g = 0, at = 0; g < weights.size(); ++g) {
        c += weights[g] * cosine[at];
        s += weights[g] * sine[at];
        at += harmonic;
        if (at >= weights.size()) at -= weights.size();
    }
    return {c, s};
}

/// Variance that an error round the turn of unit variance, spread over the harmonics like this, gives a figure with
/// these weights.
double spectrum_gain(const std::vector<double>& weights, const SlowSpectrum& spectrum) {
    // All harmonics in one walk: each sum waits for its last addition, and the others fill the wait.
    constexpr std::size_t harmonics = std::tuple_size_v<SlowSpectrum>;
    const auto [cosine, sine] = grid_angles(weights.size());
    std::array<double, harmonics> c{}, s{};
    std::array<std::size_t, harmonics> at{};
    for (const double weight : weights) {
        for (std::size_t h = 0; h < at.size(); ++h) {
            c[h] += weight * cosine[at[h]];
            s[h] += weight * sine[at[h]];
            at[h] += h;
            if (at[h] >= weights.size()) at[h] -= weights.size();
        }
    }
    double sum = 0.0;
    for (std::size_t h = 0; h < spectrum.size(); ++h) {
        if (spectrum[h] > 0.0) sum += spectrum[h] * std::norm(std::complex<double>(c[h], s[h]));
    }
    return sum;
}

/// Means (or sums) of a grid curve over the blocks of an arc.
std::vector<double> block_sums(const std::vector<double>& curve, GridArc arc) {
    std::vector<double> out(arc.count / form_block, 0.0);
    for (std::size_t i = 0; i < out.size() * form_block; ++i) {
        const std::size_t at = arc.first + i;
        out[i / form_block] += curve[at < curve.size() ? at : at - curve.size()];
    }
    return out;
}

}  // namespace

void RunUncertainty::look_at_form() {
    const double block_weight =
        curve_.system.total_weight() * static_cast<double>(form_block) / static_cast<double>(grid_points);
    for (std::size_t c = 0; c < 2; ++c) {
        form_[c] = block_sums(c == 0 ? shape_.front : shape_.rear, heel_.arc());
        for (double& mean : form_[c]) mean /= static_cast<double>(form_block);
        form_noise_[c] = (c == 0 ? curve_.noise.factor_front : curve_.noise.factor_rear) / block_weight;
    }
}

void RunUncertainty::add_form(std::size_t edge, const std::vector<double>& heel_weights,
                              CommonCauses& common) const {
    const auto weights = block_sums(heel_weights, heel_.arc());
    const std::size_t n = weights.size();
    common.form_mm.resize(n, 0.0);
    for (std::size_t b = 0; b < n; ++b) {
        if (weights[b] == 0.0) continue;
        for (std::size_t shift = 0, at = b; shift < n; ++shift, at = at + 1 == n ? 0 : at + 1)
            common.form_mm[shift] += weights[b] * form_[edge][at];
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

}  // namespace lobewright
