#include "analysis/lobe/lift_figures.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "analysis/lobe/local_polynomial.hpp"

namespace lobewright {
namespace {

/// A polynomial about the nose: its degree, and half its width in grid steps (half degrees).
struct NoseFit {
    int degree;
    std::size_t half;
};
// From the one that follows any shape to the one that lets least noise through: standard deviation 0.57 to 0.24 of that of
// a reading every half degree. Few and far apart: each is one more chance for noise to choose.
constexpr std::array<NoseFit, 5> nose_fits{{{4, 5}, {4, 10}, {6, 14}, {4, 20}, {4, 30}}};
// Standard deviations that a wider fit may lie off narrower ones by and still count as the same nose. Less keeps noise
// in, more lets bias in.
constexpr double same_nose = 2.0;

/// Variance that noise gives a sum of these weights, where a unit weight on one place has variance `per_place`.
double noise_variance(const std::vector<double>& weights, const std::vector<double>& less, double per_place) {
    double squares = 0.0;
    for (std::size_t g = 0; g < weights.size(); ++g)
        squares += (weights[g] - less[g]) * (weights[g] - less[g]);
    return squares * per_place;
}

/// The same from the readings' noise at the nose: averages over some degrees let white noise through as single places do.
double noise_per_place(const LobeView& view, const std::vector<double>& weights) {
    CurveWeights probe;
    probe.add(view.geometry.mid(), weights, 1.0);
    UncertaintyTerms squares;
    CommonCauses common;
    view.run.add_terms(probe, squares, common);
    return (squares.noise + squares.encoder) /
           noise_variance(weights, std::vector<double>(weights.size(), 0.0), 1.0);
}

/// The nose by the widest polynomial that none of the narrower ones contradicts (O. V. Lepski, Theory Probab. Appl. 35
/// (1990), from memory). Its bias, squared, is what it lies off the narrowest by, beyond noise. A nose with corners (worn
/// flat) allows none: then it is the curve's own top.
struct Nose {
    LocalTop top;
    double bias_variance = 0.0;
    bool by_polynomial = false;
};
Nose nose_of(const LobeView& view, const std::vector<double>& lift) {
    const double at = view.own.peak.at;
    Nose out{{view.own.peak.value, point_weights(at)}, 0.0, false};
    std::vector<LocalTop> agreed;
    double per_place = 0.0;
    for (const auto& [degree, half] : nose_fits) {
        LocalTop fit = local_top(lift, at, half, degree);
        if (agreed.empty()) per_place = noise_per_place(view, fit.weights);
        const auto contradicts = [&](const LocalTop& other) {
            const double off = fit.value - other.value;
            return off * off > same_nose * same_nose * noise_variance(fit.weights, other.weights, per_place);
        };
        if (contradicts(agreed.empty() ? out.top : agreed.front()) ||
            std::any_of(agreed.begin(), agreed.end(), contradicts)) {
            break;
        }
        agreed.push_back(std::move(fit));
        const LocalTop &first = agreed.front(), &last = agreed.back();
        const double off = last.value - first.value;
        out = {last, std::max(off * off - noise_variance(last.weights, first.weights, per_place), 0.0), true};
    }
    return out;
}

}  // namespace

LiftResult largest_lift(const LobeView& view) {
    const auto mix = view.geometry.mid();
    const Nose nose = nose_of(view, mixed(view.shape, mix));
    LiftResult out;
    auto& side = own_side(view, out.influence);
    side.add(mix, nose.top.weights, 1.0);
    out.value_mm = nose.top.value;
    out.influence.shape_variance = nose.bias_variance;
    if (nose.by_polynomial) {
        out.value_mm += view.run.smoothing_taken(side);
        out.influence.freed_of_smoothing = true;
    }
    return out;
}

CentrelineResult centreline(const LobeView& view) {
    CentrelineResult out;
    const auto& half = view.own.half;
    out.position = half.middle();
    // A level too high by e moves a crossing by -e/slope; the level itself is half the lift.
    auto& side = own_side(view, out.influence);
    const auto mix = view.geometry.mid();
    side.add(mix, point_weights(half.opening), -0.5 / half.opening_slope);
    side.add(mix, point_weights(half.closing), -0.5 / half.closing_slope);
    side.add(mix, point_weights(view.own.peak.at),
             0.25 * (1.0 / half.opening_slope + 1.0 / half.closing_slope));
    return out;
}

}  // namespace lobewright
