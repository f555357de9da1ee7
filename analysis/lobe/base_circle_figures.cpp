#include "analysis/lobe/base_circle_figures.hpp"

#include <algorithm>
#include <cmath>

#include "analysis/lobe/heel_form.hpp"

namespace lobewright {
namespace {

/// What the circle and the axis do at the arc's points.
std::vector<double> turning(const LobeView& view, EdgeMix mix) {
    const auto arc = view.heel.arc();
    const auto& f = view.shape.front_circle;
    const auto& r = view.shape.rear_circle;
    const double a = mix.front * f.a + mix.rear * r.a, b = mix.front * f.b + mix.rear * r.b;
    const auto [cosine, sine] = grid_angles(grid_points);
    std::vector<double> out;
    for (std::size_t i = 0; i < arc.count; ++i) {
        const std::size_t g = (arc.first + i) % grid_points;
        out.push_back(a * cosine[g] + b * sine[g]);
        // As swept: what the axis did in the V-blocks belongs to it.
        if (!view.curve.front_motion.empty())
            out.back() += mix.front * view.curve.front_motion[g] + mix.rear * view.curve.rear_motion[g];
    }
    return out;
}

/// What the form's disturbances do to the runout. Looked at where the blocks meet, in their middles and at the arc's
/// ends: the form is straight between these.
double runout_u95_by_form(const std::vector<double>& turning, const HeelForm& form) {
    const std::size_t last = 2 * (form.block.size() - 2);
    std::vector<double> circle;
    for (std::size_t h = 0; h <= last; ++h) circle.push_back(turning[h * (turning.size() - 1) / last]);
    const auto range = [&](const HeelBlocks& block, double share) {
        double low = circle[0] + share * block[0], high = low;
        for (std::size_t h = 1; h <= last; ++h) {
            const std::size_t k = (h + 1) / 2;
            const bool between = h % 2 == 0 && h < last;
            const double form_mm = between ? 0.5 * (block[k] + block[k + 1]) : block[h < last ? k : k + 1];
            const double value = circle[h] + share * form_mm;
            low = std::min(low, value);
            high = std::max(high, value);
        }
        return high - low;
    };
    return u95_found_again(form, range(form.likely, 1.0),
                           [&](const HeelBlocks& shown) { return range(shown, form.believed(shown)); });
}

Measured runout_figure(const LobeView& view, const char* name, EdgeMix mix, const HeelForm& form) {
    const auto arc = view.heel.arc();
    const auto circle = turning(view, mix);
    // Only as much of the residual is believed as stands above noise.
    const double share = form.believed(form.block);
    std::vector<double> value(arc.count);
    for (std::size_t i = 0; i < arc.count; ++i)
        value[i] = circle[i] + share * heel_block_at(form.block, i, arc.count);
    const auto [low, high] = std::minmax_element(value.begin(), value.end());
    const auto grid_point = [&](auto at) {
        return (arc.first + static_cast<std::size_t>(at - value.begin())) % grid_points;
    };
    const double by_form = runout_u95_by_form(circle, form);
    const auto [cosine, sine] = grid_angles(grid_points);
    Influence influence;
    auto& side = own_side(view, influence);
    const double da = cosine[grid_point(high)] - cosine[grid_point(low)],
                 db = sine[grid_point(high)] - sine[grid_point(low)];
    side.circle[0] = {0.0, mix.front * da, mix.front * db};
    side.circle[1] = {0.0, mix.rear * da, mix.rear * db};
    auto terms = view.all.terms(influence);
    terms.support = 0.0;  // as swept, what the axis did is no doubt
    terms.noise = std::hypot(terms.noise, by_form / student_factor_95(terms.degrees_of_freedom));
    return view.all.figure(name, *high - *low, terms);
}

}  // namespace

BaseCircleFigures base_circle_figures(const LobeView& view) {
    BaseCircleFigures out;
    const auto arc = view.heel.arc();
    out.from_deg = wrapped_deg(deg_of_grid(static_cast<double>(arc.first)));
    out.to_deg = out.from_deg + deg_of_grid(static_cast<double>(arc.count - 1));
    const auto front = heel_form(view, view.geometry.front_edge()),
               rear = heel_form(view, view.geometry.rear_edge());
    out.form_mm = {front.size, rear.size};
    out.runout_mm = {runout_figure(view, "base_circle.runout.front", view.geometry.front_edge(), front),
                     runout_figure(view, "base_circle.runout.rear", view.geometry.rear_edge(), rear)};
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
