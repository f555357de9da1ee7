#include "analysis/lobe/lobe_figures.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <stdexcept>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/lobe/local_top.hpp"

namespace lobewright {
namespace {

constexpr double two_pi = 2.0 * std::numbers::pi;
constexpr double grid_per_deg = static_cast<double>(grid_points) / 360.0;
constexpr double least_lift_mm = 0.2;  // less isn't a cam lobe, or the indicators didn't follow it
constexpr double nose_half_deg = 2.0;  // docs/figures.md: "within 2 cam degrees of the centreline"
constexpr double radius_half_deg = 10.0;
constexpr double table_row_deg = 5.0;  // the usual spacing of a hand-taken table

CurveWeights& own_side(const LobeView& view, Influence& influence) {
    return view.reference_run ? influence.reference : influence.used;
}

}  // namespace

LobeLandmarks lobe_landmarks(const std::string& name, const std::vector<double>& mid_lift_mm) {
    LobeLandmarks marks;
    marks.peak = peak_of(mid_lift_mm);
    if (!(marks.peak.value > least_lift_mm)) {
        throw DataError(
            fmt::format("lobe '{}': its lift is only {:.3f} mm; check that the sweep is of this lobe and "
                        "that the indicators followed it",
                        name, marks.peak.value));
    }
    try {
        marks.half = crossing(mid_lift_mm, marks.peak.at, 0.5 * marks.peak.value);
        marks.low = crossing(mid_lift_mm, marks.peak.at, 0.2 * marks.peak.value);
        marks.high = crossing(mid_lift_mm, marks.peak.at, 0.8 * marks.peak.value);
    } catch (const std::domain_error&) {
        throw DataError(
            fmt::format("lobe '{}': its lift doesn't come down to the heel on both sides of the nose; "
                        "check that the sweep is of this lobe",
                        name));
    }
    return marks;
}

// ---------------------------------------------------------------------------------------------- base circle

namespace {

constexpr double wander_range =
    2.0;  // range over a heel of a wander of unit standard deviation, once a sinusoid is off
constexpr double form_block_deg = 12.0;  // form is what stands over some degrees; shorter is noise or grit

/// The heel's residual at a place along z in blocks, and the noise of one block's mean.
struct HeelForm {
    std::vector<double> block;  // with what stands at the arc's two ends before and behind
    double sd = 0.0;
    double wander =
        0.0;  // standard deviation of what the rig's wander and the indicators' step feign as form

    /// At point i of an arc of `count`, straight between the blocks' middles.
    [[nodiscard]] double at(std::size_t i, std::size_t count) const {
        const auto inner = static_cast<double>(block.size() - 2);
        const double x =
            (static_cast<double>(i) + 0.5) / static_cast<double>(count) * inner;  // 0..inner, blocks wide
        const double position =
            std::clamp(x + 0.5, 0.5, inner + 0.5);  // middles at 1, 2, ..., ends at 0.5 and inner + 0.5
        if (position <= 1.0) return block[0] + (position - 0.5) * 2.0 * (block[1] - block[0]);
        if (position >= inner) {
            return block[block.size() - 2] +
                   (position - inner) * 2.0 * (block.back() - block[block.size() - 2]);
        }
        const auto k = static_cast<std::size_t>(position);
        return block[k] + (position - static_cast<double>(k)) * (block[k + 1] - block[k]);
    }

    [[nodiscard]] double range() const {
        const auto [low, high] = std::minmax_element(block.begin(), block.end());
        return *high - *low;
    }
};

HeelForm heel_form(const LobeView& view, EdgeMix mix) {
    const auto curve = mixed(view.shape, mix);
    const auto arc = view.heel.arc();
    const double length = static_cast<double>(arc.count - 1);
    const auto blocks =
        std::max<std::size_t>(4, static_cast<std::size_t>(length / (form_block_deg * grid_per_deg)));
    const double block = length / static_cast<double>(blocks);
    HeelForm form;
    for (std::size_t i = 0; i < blocks; ++i) {
        const double from = static_cast<double>(arc.first) + block * static_cast<double>(i);
        const auto weights = mean_weights(from, from + block);
        form.block.push_back(weighted_sum(weights, curve));
        if (i == blocks / 2) {
            CurveWeights probe;
            probe.add(mix, weights, 1.0);
            UncertaintyTerms squares;
            CommonCauses common;
            view.run.add_terms(probe, squares, common);
            form.sd = std::sqrt(squares.noise + squares.encoder);
            form.wander = std::hypot(view.curve.noise.drift_mm, view.run.rounding_sd_mm());
        }
    }
    // A block's mean lags behind a form that rises toward the arc's ends: the ends by the line through two
    // blocks.
    const auto end = [&](std::size_t near, std::size_t next) {
        return 1.5 * form.block[near] - 0.5 * form.block[next];
    };
    const double first = end(0, 1), last = end(blocks - 1, blocks - 2);
    form.block.insert(form.block.begin(), first);
    form.block.push_back(last);
    return form;
}

/// Expected range of k standard normal values, by Blom's approximation of the largest (G. Blom 1958, from
/// memory); within 1 % of exact quantiles for k = 5 to 10.
double expected_range(std::size_t k) {
    const double p = (static_cast<double>(k) - 0.375) / (static_cast<double>(k) + 0.25);
    const double t = std::sqrt(-2.0 * std::log(1.0 - p));  // Abramowitz & Stegun 26.2.23, from memory
    const double z = t - (2.515517 + 0.802853 * t + 0.010328 * t * t) /
                             (1.0 + 1.432788 * t + 0.189269 * t * t + 0.001308 * t * t * t);
    return 2.0 * z;
}

/// Form without what noise alone would show. The ends scatter 1.6 times as much as a block, which raises the
/// range of pure noise by a fifth. 4.3 block standard deviations hold it 95 times in 100 and are 1.3 times
/// what a real form's range scatters by.
Measured form_figure(const HeelForm& form) {
    const double range = form.range();
    const double noise =
        std::hypot(1.2 * expected_range(form.block.size()) * form.sd, wander_range * form.wander);
    return {std::sqrt(std::max(range * range - noise * noise, 0.0)),
            std::hypot(4.3 * form.sd, 3.6 * form.wander)};
}

Measured runout_figure(const LobeView& view, const char* name, EdgeMix mix, const HeelForm& form,
                       const Measured& form_size) {
    const auto arc = view.heel.arc();
    const auto& f = view.shape.front_circle;
    const auto& r = view.shape.rear_circle;
    const double a = mix.front * f.a + mix.rear * r.a, b = mix.front * f.b + mix.rear * r.b;
    // Only as much of the residual is believed as stands above noise.
    const double range = form.range();
    const double share = range > 0.0 ? form_size.value * form_size.value / (range * range) : 0.0;
    const auto [cosine, sine] = grid_angles(grid_points);
    // As swept: what the axis did in the V-blocks belongs to it.
    const auto motion = [&](std::size_t g) {
        if (view.curve.front_motion.empty()) return 0.0;
        return mix.front * view.curve.front_motion[g] + mix.rear * view.curve.rear_motion[g];
    };
    double low = 0.0, high = 0.0;
    std::size_t low_at = arc.first, high_at = arc.first;
    for (std::size_t i = 0; i < arc.count; ++i) {
        const std::size_t g = (arc.first + i) % grid_points;
        const double value = a * cosine[g] + b * sine[g] + share * form.at(i, arc.count) + motion(g);
        if (i == 0 || value < low) low = value, low_at = g;
        if (i == 0 || value > high) high = value, high_at = g;
    }
    Influence influence;
    auto& side = own_side(view, influence);
    const double da = cosine[high_at] - cosine[low_at], db = sine[high_at] - sine[low_at];
    side.circle[0] = {0.0, mix.front * da, mix.front * db};
    side.circle[1] = {0.0, mix.rear * da, mix.rear * db};
    auto terms = view.all.terms(influence);
    terms.noise =
        std::hypot(terms.noise, share * form_size.u95 / student_factor_95(terms.degrees_of_freedom));
    return view.all.figure(name, high - low, terms);
}

}  // namespace

BaseCircleFigures base_circle_figures(const LobeView& view) {
    BaseCircleFigures out;
    const auto arc = view.heel.arc();
    out.from_deg = wrapped_deg(deg_of_grid(static_cast<double>(arc.first)));
    out.to_deg = out.from_deg + deg_of_grid(static_cast<double>(arc.count - 1));
    const auto front = heel_form(view, view.geometry.front_edge()),
               rear = heel_form(view, view.geometry.rear_edge());
    out.form_mm = {form_figure(front), form_figure(rear)};
    out.runout_mm = {
        runout_figure(view, "base_circle.runout.front", view.geometry.front_edge(), front, out.form_mm.front),
        runout_figure(view, "base_circle.runout.rear", view.geometry.rear_edge(), rear, out.form_mm.rear)};
    const auto mix = view.geometry.mid();
    const auto& f = view.shape.front_circle;
    const auto& r = view.shape.rear_circle;
    const double a = mix.front * f.a + mix.rear * r.a, b = mix.front * f.b + mix.rear * r.b;
    const double size = std::hypot(a, b);
    out.eccentricity_deg = deg_from_rad(std::atan2(b, a));
    Influence influence;
    auto& side = own_side(view, influence);
    const double ca = size > 0.0 ? a / size : 1.0, cb = size > 0.0 ? b / size : 0.0;
    side.circle[0] = {0.0, mix.front * ca, mix.front * cb};
    side.circle[1] = {0.0, mix.rear * ca, mix.rear * cb};
    out.eccentricity_mm = view.all.figure("base_circle.eccentricity", size, influence);
    return out;
}

// ---------------------------------------------------------------------------------------------- lift,
// centreline

namespace {

/// A polynomial about the nose: its degree, and half its width in grid steps (half degrees).
struct NoseFit {
    int degree;
    std::size_t half;
};
// From the one that follows any shape to the one that lets least noise through: standard deviation 0.58 to 0.24 of that of
// a reading every half degree.
constexpr std::array<NoseFit, 7> nose_fits{{{4, 5}, {6, 10}, {4, 10}, {6, 14}, {6, 20}, {4, 20}, {4, 30}}};
// Standard deviations that a wider fit may lie off narrower ones by and still count as the same nose. Less keeps noise
// in, more lets bias in; between 1 and 2 the sum hardly moves.
constexpr double same_nose = 1.5;

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

// ---------------------------------------------------------------------------------------------- taper

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

/// Influence of a mean of the taper curve. Front and rear enter with opposite signs.
Influence taper_influence(const LobeView& view, const std::vector<double>& weights, bool absolute) {
    Influence influence;
    const double scale = view.geometry.taper_scale();
    influence.used.add({-1.0, 1.0}, weights, scale);
    if (absolute) {
        influence.used.circle[0][0] = -scale;
        influence.used.circle[1][0] = scale;
        influence.datum = scale;
    }
    return influence;
}

Measured taper_mean(const LobeView& view, const char* name, const std::vector<double>& taper,
                    const std::vector<double>& weights, bool absolute) {
    const auto influence = taper_influence(view, weights, absolute);
    auto terms = view.all.terms(influence);
    if (absolute) terms.passes = view.geometry.taper_scale() * view.curve.level_scatter_mm;
    return view.all.figure(name, weighted_sum(weights, taper), terms);
}

/// The side that the ramps say: proved away from zero, or none.
HighSide high_side_of(const TaperFigures& taper) {
    const double mean = 0.5 * (taper.opening_mm.value + taper.closing_mm.value);
    const double u = 0.5 * (taper.opening_mm.u95 + taper.closing_mm.u95);
    if (std::abs(mean) <= u) return HighSide::none;
    return mean > 0.0 ? HighSide::rear : HighSide::front;
}

}  // namespace

TaperFigures taper_figures(const LobeView& view, const std::optional<DatumInfo>& datum) {
    TaperFigures out;
    const bool absolute = datum.has_value();
    const auto taper = taper_curve(view, datum);
    out.datum = absolute ? TaperDatum::mastered : TaperDatum::base_circle;
    const auto& g = view.guide;
    out.opening_mm =
        taper_mean(view, "taper.opening", taper, mean_weights(g.low.opening, g.high.opening), absolute);
    out.closing_mm =
        taper_mean(view, "taper.closing", taper, mean_weights(g.high.closing, g.low.closing), absolute);
    const double half = nose_half_deg * grid_per_deg, middle = g.half.middle();
    out.nose_mm = taper_mean(view, "taper.nose", taper, mean_weights(middle - half, middle + half), absolute);
    if (absolute) {
        const auto arc = view.heel.arc();
        const double from = static_cast<double>(arc.first);
        const auto weights = mean_weights(from, from + static_cast<double>(arc.count - 1));
        out.base_mm = taper_mean(view, "taper.base", taper, weights, true);
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

}  // namespace

Measured flat_arc(const LobeView& view, const std::optional<DatumInfo>& datum, double limit_mm) {
    if (!datum) return {};
    const auto taper = taper_curve(view, datum);
    const double centre = view.guide.half.middle();
    // A single reading's noise must not break the arc: two degrees of the curve are taken together.
    std::vector<double> size(grid_points), low(grid_points), high(grid_points);
    const auto mean2 = [&](std::size_t at) {
        double sum = 0.0;
        for (std::size_t i = 0; i < 5; ++i) sum += taper[(at + grid_points + i - 2) % grid_points];
        return sum / 5.0;
    };
    const double half = nose_half_deg * grid_per_deg;
    const auto weights = mean_weights(centre - half, centre + half);
    const double u95 = view.all.terms(taper_influence(view, weights, true)).expanded();
    for (std::size_t g = 0; g < grid_points; ++g) {
        const double t = mean2(g);
        size[g] = std::abs(t);
        low[g] = std::abs(t - u95);
        high[g] = std::abs(t + u95);
    }
    // The taper's error is common to the whole lobe (datum) or slow (indicator): shift it both ways, and
    // shrink and widen the band, and take what the arc then does.
    const double arc = arc_below(size, centre, limit_mm);
    double u = 0.0;
    for (const double other :
         {arc_below(low, centre, limit_mm), arc_below(high, centre, limit_mm),
          arc_below(size, centre, limit_mm + u95), arc_below(size, centre, limit_mm - u95)}) {
        u = std::max(u, std::abs(other - arc));
    }
    return {arc, u};
}

// ---------------------------------------------------------------------------------------------- nose radius

Measured nose_radius(const LobeView& view, const std::optional<double>& base_diameter_mm) {
    if (!base_diameter_mm) return {};
    const double half = radius_half_deg * grid_per_deg, middle = view.guide.half.middle();
    const auto mean = mean_weights(middle - half, middle + half);
    // The mean of h'' over the arc is the change of h' over its angle; h' by the central difference of one
    // grid step.
    const double per_rad = static_cast<double>(grid_points) / two_pi;
    const double scale = per_rad / (2.0 * rad_from_deg(radius_half_deg));
    std::vector<double> weights = mean;
    const auto add = [&](double position, double factor) {
        const auto point = point_weights(position);
        for (std::size_t g = 0; g < grid_points; ++g) weights[g] += factor * point[g];
    };
    add(middle + half + 0.5, scale);
    add(middle + half - 0.5, -scale);
    add(middle - half + 0.5, -scale);
    add(middle - half - 0.5, scale);
    const auto mix = view.geometry.mid();
    const auto lift = mixed(view.shape, mix);
    const double slopes = value_at(lift, middle + half + 0.5) - value_at(lift, middle + half - 0.5) -
                          value_at(lift, middle - half + 0.5) + value_at(lift, middle - half - 0.5);
    Influence influence;
    own_side(view, influence).add(mix, weights, 1.0);
    auto terms = view.all.terms(influence);
    // Between the rows of a table the slope at either end of the arc is known no better than the curve
    // itself.
    const double row_rad = rad_from_deg(table_row_deg);
    terms.table = 2.0 * std::numbers::sqrt2 * view.curve.interpolation_mm / row_rad /
                  (2.0 * rad_from_deg(radius_half_deg));
    const double radius = 0.5 * *base_diameter_mm + weighted_sum(mean, lift) + scale * slopes;
    return view.all.figure(view.reference_run ? "wear.nose_radius.reference" : "wear.nose_radius.used",
                           radius, terms);
}

}  // namespace lobewright
