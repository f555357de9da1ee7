#include "analysis/lobe/taper_figures.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include "analysis/constants.hpp"

namespace lobewright {
std::vector<double> taper_curve(const LobeView& view, const std::optional<DatumInfo>& datum) {
    const double scale = view.geometry.taper_scale();
    const double base =
        datum ? view.shape.rear_circle.c0 - view.shape.front_circle.c0 - datum->rear_minus_front_mm : 0.0;
    std::vector<double> taper(grid_points);
    for (std::size_t g = 0; g < grid_points; ++g)
        taper[g] = scale * (view.shape.rear[g] - view.shape.front[g] + base);
    return taper;
}

namespace {

/// Influence of a weighted sum of the taper curve. Front and rear enter with opposite signs.
Influence taper_influence(const LobeView& view, const std::vector<double>& weights, bool absolute) {
    Influence influence;
    const double scale = view.geometry.taper_scale();
    influence.used.add({-1.0, 1.0}, weights, scale);
    if (absolute) {
        const double level = scale * std::accumulate(weights.begin(), weights.end(), 0.0);
        influence.used.circle[0][0] = -level;
        influence.used.circle[1][0] = level;
        influence.datum = level;
    }
    return influence;
}

/// What passes scatter by in a figure of these weights.
double pass_scatter(const LobeView& view, const std::vector<double>& weights, bool absolute) {
    if (!absolute) return 0.0;
    const double level = std::accumulate(weights.begin(), weights.end(), 0.0);
    return view.geometry.taper_scale() * view.curve.level_scatter_mm * std::abs(level);
}

/// Without what all lobes have alike: datum, indicators, the bench and its temperature.
double own_u95(const LobeView& view, const std::vector<double>& weights, bool absolute) {
    const auto all = view.all.terms(taper_influence(view, weights, absolute));
    UncertaintyTerms own;
    own.noise = all.noise;
    own.encoder = all.encoder;
    own.step = all.step;
    own.table = all.table;
    own.drift = all.drift;
    own.passes = pass_scatter(view, weights, absolute);
    own.degrees_of_freedom = all.degrees_of_freedom;
    own.drift_degrees_of_freedom = all.drift_degrees_of_freedom;
    return own.expanded();
}

std::vector<double> mean_of_both(std::vector<double> a, const std::vector<double>& b) {
    for (std::size_t g = 0; g < a.size(); ++g) a[g] = 0.5 * (a[g] + b[g]);
    return a;
}

/// The side that the ramps say: proved away from zero, or none.
HighSide high_side_of(const TaperFigures& taper) {
    const double mean = 0.5 * (taper.opening_mm.value + taper.closing_mm.value);
    const double u = 0.5 * (taper.opening_mm.u95 + taper.closing_mm.u95);
    if (std::abs(mean) <= u) return HighSide::none;
    return mean > 0.0 ? HighSide::rear : HighSide::front;
}

}  // namespace

Measured taper_sum(const LobeView& view, const char* name, const std::vector<double>& taper,
                   const std::vector<double>& weights, bool absolute) {
    const auto influence = taper_influence(view, weights, absolute);
    auto terms = view.all.terms(influence);
    terms.passes = pass_scatter(view, weights, absolute);
    return view.all.figure(name, weighted_sum(weights, taper), terms);
}

TaperFigures taper_figures(const LobeView& view, const std::optional<DatumInfo>& datum) {
    TaperFigures out;
    const bool absolute = datum.has_value();
    const auto taper = taper_curve(view, datum);
    out.datum = absolute ? TaperDatum::mastered : TaperDatum::base_circle;
    const auto& g = view.guide;
    const auto opening = mean_weights(g.low.opening, g.high.opening),
               closing = mean_weights(g.high.closing, g.low.closing);
    out.opening_mm = taper_sum(view, "taper.opening", taper, opening, absolute);
    out.closing_mm = taper_sum(view, "taper.closing", taper, closing, absolute);
    out.ramps_own_u95_mm = own_u95(view, mean_of_both(opening, closing), absolute);
    const double half = nose_half_deg * grid_per_deg, middle = g.half.middle();
    out.nose_mm = taper_sum(view, "taper.nose", taper, mean_weights(middle - half, middle + half), absolute);
    if (absolute) {
        const auto arc = view.heel.arc();
        const double from = static_cast<double>(arc.first);
        const auto weights = mean_weights(from, from + static_cast<double>(arc.count - 1));
        out.base_mm = taper_sum(view, "taper.base", taper, weights, true);
        out.high_side = high_side_of(out);
    } else {
        out.base_mm = {0.0, 0.0};  // by definition: the taper is stated relative to it
        out.high_side = HighSide::unknown;
    }
    return out;
}

namespace {

double arc_below(const std::vector<double>& size, double centre, double limit) {
    if (!(limit > 0.0) || value_at(size, centre) >= limit) return 0.0;
    const auto reach = [&](double way) {
        constexpr double step = 0.1;  // grid steps: a twentieth of a degree
        double x = 0.0;
        while (x < 0.5 * static_cast<double>(grid_points) && value_at(size, centre + way * x) < limit)
            x += step;
        return x;
    };
    return std::min(deg_of_grid(reach(1.0) + reach(-1.0)), 360.0);
}

/// Normal quantiles that leave a twentieth outside between them, in equal and in unequal parts.
constexpr std::array<std::array<double, 2>, 5> tails{
    {{1.960, 1.960}, {1.812, 2.170}, {1.751, 2.326}, {1.695, 2.576}, {1.653, 3.090}}};

/// How far the arc moves nineteen times in twenty as the taper is shifted by a normal error of `u95_mm`. It often moves one
/// way only, or one way more than the other: of all intervals that hold, the one whose longer side is shortest.
double moved_by_shift(const std::vector<double>& taper, double centre, double limit, double arc,
                      double u95_mm) {
    const auto moved = [&](double quantile) {
        std::vector<double> size(taper.size());
        for (std::size_t g = 0; g < taper.size(); ++g)
            size[g] = std::abs(taper[g] + quantile / normal_95 * u95_mm);
        return std::abs(arc_below(size, centre, limit) - arc);
    };
    double least = 360.0;
    for (const auto& [nearer, further] : tails) {
        least = std::min(
            {least, std::max(moved(nearer), moved(-further)), std::max(moved(-nearer), moved(further))});
    }
    return least;
}

}  // namespace

Measured flat_arc(const LobeView& view, const std::optional<DatumInfo>& datum, double limit_mm) {
    if (!datum) return {};
    const auto taper = taper_curve(view, datum);
    const double centre = view.guide.half.middle();
    // A single reading's noise must not break the arc: two degrees of the curve are taken together.
    std::vector<double> mean(grid_points), size(grid_points);
    for (std::size_t g = 0; g < grid_points; ++g) {
        for (std::size_t i = 0; i < 5; ++i) mean[g] += taper[(g + grid_points + i - 2) % grid_points] / 5.0;
        size[g] = std::abs(mean[g]);
    }
    const double half = nose_half_deg * grid_per_deg;
    const auto weights = mean_weights(centre - half, centre + half);
    const auto terms = view.all.terms(taper_influence(view, weights, true));
    UncertaintyTerms by_place;
    by_place.indicator = terms.indicator;
    by_place.step = terms.step;
    by_place.table = terms.table;
    const double by_place_u95 = by_place.expanded();
    // The taper's error is common to the whole lobe (datum) or slow (wander): it shifts the curve. By what differs from
    // reading to reading and row to row the band about nothing shrinks and widens, too. Take what the arc then does most.
    const double arc = arc_below(size, centre, limit_mm);
    double u = moved_by_shift(mean, centre, limit_mm, arc, terms.expanded());
    for (const double other : {arc_below(size, centre, limit_mm + by_place_u95),
                               arc_below(size, centre, limit_mm - by_place_u95)}) {
        u = std::max(u, std::abs(other - arc));
    }
    return {arc, u};
}

}  // namespace lobewright
