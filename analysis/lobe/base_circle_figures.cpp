#include "analysis/lobe/base_circle_figures.hpp"

#include <algorithm>
#include <cmath>

namespace lobewright {
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
            form.wander = std::hypot(std::sqrt(squares.drift), view.run.rounding_sd_mm());
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

}  // namespace lobewright
