#include "analysis/lobe/base_circle_figures.hpp"

#include <algorithm>
#include <cmath>

#include "analysis/lobe/heel_form.hpp"

namespace lobewright {
namespace {

Measured runout_figure(const LobeView& view, const char* name, EdgeMix mix, const HeelForm& form) {
    const auto arc = view.heel.arc();
    const auto& f = view.shape.front_circle;
    const auto& r = view.shape.rear_circle;
    const double a = mix.front * f.a + mix.rear * r.a, b = mix.front * f.b + mix.rear * r.b;
    // Only as much of the residual is believed as stands above noise.
    const double share = form.believed();
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
    terms.support = 0.0;  // as swept, what the axis did is no doubt
    terms.noise =
        std::hypot(terms.noise, share * form.size.u95 / student_factor_95(terms.degrees_of_freedom));
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
