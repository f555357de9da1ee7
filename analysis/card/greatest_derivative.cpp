#include "analysis/card/greatest_derivative.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "analysis/card/motion_kernel.hpp"
#include "analysis/lobe/grid.hpp"

namespace lobewright {
namespace {

constexpr double table_row_rad = 5.0 * std::numbers::pi / 180.0;  // the usual spacing of a hand-taken table
constexpr double parabola_top = 1.25;  // its top's height above its mean, squared, over its variance

/// What a wave of one turn in two rows of a table gives a sum of these weights, over its size.
double response_to_rows(const std::vector<double>& weights) {
    double cosine = 0.0, sine = 0.0;
    for (std::size_t g = 0; g < grid_points; ++g) {
        const double phase = static_cast<double>(g) * rad_per_grid * std::numbers::pi / table_row_rad;
        cosine += weights[g] * std::cos(phase);
        sine += weights[g] * std::sin(phase);
    }
    return std::hypot(cosine, sine);
}

UncertaintyTerms terms_of(const LobeView& view, const std::vector<double>& weights,
                          double shape_variance = 0.0) {
    Influence influence;
    influence.used.add(view.geometry.mid(), weights, 1.0);
    influence.shape_variance = shape_variance;
    auto terms = view.all.terms(influence);
    if (view.curve.table)
        terms.table = std::hypot(terms.table, view.curve.interpolation_mm * response_to_rows(weights));
    return terms;
}

/// What scatters from place to place.
double scatter_variance(const LobeView& view, const std::vector<double>& weights) {
    CurveWeights of;
    of.add(view.geometry.mid(), weights, 1.0);
    return view.run.scatter_variance(of);
}

/// One kernel's derivative, with its sign turned so that it is the largest that counts.
struct Candidate {
    const MotionKernel* kernel = nullptr;
    std::vector<double> curve;
    std::size_t top = 0;

    [[nodiscard]] std::vector<double> weights_at(std::size_t place) const {
        std::vector<double> out(grid_points, 0.0);
        kernel->add_weights_at(place, 1.0, out);
        return out;
    }
};

Candidate candidate_of(const GreatestSought& sought, const MotionKernel& kernel) {
    Candidate out{&kernel, kernel.along(sought.lift), on_turn(sought.over.from)};
    for (std::size_t g = 0; g < grid_points; ++g) {
        if (sought.beside != nullptr) out.curve[g] += (*sought.beside)[g];
        out.curve[g] *= sought.sign;
    }
    for (std::ptrdiff_t g = sought.over.from; g <= sought.over.to; ++g)
        if (out.curve[on_turn(g)] > out.curve[out.top]) out.top = on_turn(g);
    return out;
}

double variance_between(const GreatestSought& sought, const Candidate& a, const Candidate& b,
                        std::size_t place) {
    auto weights = a.weights_at(place);
    b.kernel->add_weights_at(place, -1.0, weights);
    return scatter_variance(sought.view, weights);
}

/// Whether the narrower one shows that the wider one is too wide: at the wider one's top, or by a top of its own that
/// stands higher than noise makes the highest of many.
bool contradicts(const GreatestSought& sought, const Candidate& narrow, const Candidate& wide) {
    constexpr double same_place = 2.0, highest_of_many = 3.5;
    const double off = wide.curve[wide.top] - narrow.curve[wide.top];
    if (off * off > same_place * same_place * variance_between(sought, wide, narrow, wide.top)) return true;
    const double higher = narrow.curve[narrow.top] - wide.curve[wide.top];
    return higher > highest_of_many * std::sqrt(variance_between(sought, wide, narrow, narrow.top));
}

/// What was given back at the top.
double given_back_at_top(const GreatestSought& sought, const Candidate& candidate) {
    double sum = 0.0;
    for (std::size_t g = 0; g < grid_points; ++g)
        sum += candidate.kernel->given_back[g] *
               sought.lift[on_turn(static_cast<std::ptrdiff_t>(g + candidate.top))];
    return sum;
}

/// The widest kernel that none of the narrower ones contradicts (O. V. Lepski, Theory Probab. Appl. 35 (1990), from
/// memory) and that takes no more than can be given back; and what it may be off by still, squared.
struct Chosen {
    Candidate candidate;
    double bias_variance = 0.0;
};
Chosen widest(const GreatestSought& sought) {
    constexpr double most_given_back = 2.0;  // standard deviations
    constexpr double doubt = 0.5;            // of what was given back
    std::vector<Candidate> agreed;
    Chosen out;
    for (const MotionKernel& kernel : motion_kernels(sought.which)) {
        Candidate next = candidate_of(sought, kernel);
        const bool too_wide = std::any_of(agreed.begin(), agreed.end(), [&](const Candidate& narrower) {
            return contradicts(sought, narrower, next);
        });
        const double given_back = given_back_at_top(sought, next);
        const double variance = scatter_variance(sought.view, next.weights_at(next.top));
        if (too_wide || given_back * given_back > most_given_back * most_given_back * variance) break;
        out = {next, doubt * doubt * given_back * given_back};
        agreed.push_back(std::move(next));
    }
    return out;
}

/// Where a curve is largest, as far as its noise lets that be told.
struct Plateau {
    std::vector<std::size_t> places;  // within reach of the top, which is one of them
    double share = 0.0;  // of what they scatter that noise explains: 1, the top is no more than any of them
    double mean_below = 0.0;       // how far they lie below the top on the mean
    double hidden_variance = 0.0;  // how far the top may stand above the mean unseen, squared
};

Plateau plateau_of(const GreatestSought& sought, const Candidate& candidate) {
    constexpr double reach = 4.0;
    Plateau out;
    const double variance = scatter_variance(sought.view, candidate.weights_at(candidate.top));
    double sum = 0.0, squares = 0.0;
    for (std::ptrdiff_t g = sought.over.from; g <= sought.over.to; ++g) {
        const double below = candidate.curve[candidate.top] - candidate.curve[on_turn(g)];
        if (below > reach * std::sqrt(variance)) continue;
        out.places.push_back(on_turn(g));
        sum += below;
        squares += below * below;
    }
    const auto count = static_cast<double>(out.places.size());
    out.mean_below = sum / count;
    const double scatter = squares / count - out.mean_below * out.mean_below;
    // Places nearer to each other than the kernel looks share their noise, which then explains no scatter.
    const double independent = std::max(1.0, deg_of_grid(count) / candidate.kernel->half_deg);
    const double feigned = variance * (1.0 - 1.0 / independent);
    out.share = scatter > 0.0 ? std::min(1.0, feigned / scatter) : 1.0;
    // The scatter of n places is known to 2/(n - 1) of its square; as much of it may be the lobe's.
    out.hidden_variance = parabola_top * feigned * std::sqrt(2.0 / std::max(independent - 1.0, 1.0));
    return out;
}

}  // namespace

Measured greatest_derivative(const GreatestSought& sought) {
    const auto [candidate, bias_variance] = widest(sought);
    const Plateau plateau = plateau_of(sought, candidate);
    std::vector<double> weights(grid_points, 0.0);
    candidate.kernel->add_weights_at(candidate.top, 1.0 - plateau.share, weights);
    const double each = plateau.share / static_cast<double>(plateau.places.size());
    for (const std::size_t place : plateau.places) candidate.kernel->add_weights_at(place, each, weights);
    const double shape_variance = plateau.share * plateau.hidden_variance + bias_variance;
    return {sought.sign * (candidate.curve[candidate.top] - plateau.share * plateau.mean_below),
            terms_of(sought.view, weights, shape_variance).expanded()};
}

}  // namespace lobewright
