#include "analysis/contact/loaded_lobe.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/follower/follower_motion.hpp"
#include "analysis/lobe/lobe_alone.hpp"
#include "analysis/lobe/taper_figures.hpp"

namespace lobewright {
namespace {

constexpr double kg_mm_per_n_s2 = 1e-3;  // 1 kg x 1 mm/s^2 is a thousandth of a newton

void check(const Run& run, const Running& running) {
    if (run.cam.follower == Follower::roller) {
        throw DataError(fmt::format(
            "{}: a roller's path covers the lobe's whole width; contact is worked out for flat tappets only",
            run.info.id));
    }
    if (!run.datum) {
        throw DataError(
            fmt::format("{}: without a front-to-rear zero the taper's size isn't known, nor where the tappet "
                        "touches; take a datum "
                        "(lobewright datum) and add [datum] to run.toml",
                        run.info.id));
    }
    if (running.crank_rpm.has_value() != running.mass_kg.has_value()) {
        throw UsageError("a speed needs the moving mass, and the mass a speed: give both or neither");
    }
    for (const auto& [value, what] : {std::pair{running.crank_rpm, "speed"}, {running.mass_kg, "mass"}}) {
        if (value && !(*value > 0.0 && std::isfinite(*value))) {
            throw UsageError(fmt::format("a {} of {:g} can't be; give one above zero", what, *value));
        }
    }
}

std::vector<double> loads(const LoadedLobe& lobe, const GridArc& heel,
                          const std::optional<ValvetrainInfo>& train, const Running& running) {
    if (!train || !train->seat_force_n || !train->rate_n_per_mm) return {};
    const double cam_rad_per_s = running.crank_rpm.value_or(0.0) / 60.0 * 2.0 * std::numbers::pi / 2.0;
    const double inertia = running.mass_kg.value_or(0.0) * kg_mm_per_n_s2 * cam_rad_per_s * cam_rad_per_s;
    std::vector<double> out(grid_points);
    for (std::size_t g = 0; g < grid_points; ++g) {
        out[g] = heel.holds(g, grid_points)
                     ? heel_load_share * *train->seat_force_n
                     : *train->seat_force_n + *train->rate_n_per_mm * std::max(lobe.lift_mm[g], 0.0) +
                           inertia * lobe.acceleration[g];
    }
    return out;
}

void add_pushes(LoadedLobe& out, const LobeView& view) {
    if (out.load_n.empty()) return;
    std::vector<double> per_taper(grid_points);  // N per mm of taper
    out.push_n.resize(grid_points);
    for (std::size_t g = 0; g < grid_points; ++g) {
        per_taper[g] = std::max(out.load_n[g], 0.0) / out.width_mm;
        out.push_n[g] = per_taper[g] * out.taper_mm[g];
    }
    const auto largest = std::max_element(out.push_n.begin(), out.push_n.end(),
                                          [](double a, double b) { return std::abs(a) < std::abs(b); });
    out.largest_push_at = static_cast<std::size_t>(largest - out.push_n.begin());
    auto at_largest = point_weights(static_cast<double>(out.largest_push_at));
    for (double& w : at_largest) w *= per_taper[out.largest_push_at];
    out.largest_push_n = taper_sum(view, "thrust.largest", out.taper_mm, at_largest, true);
    for (double& w : per_taper) w /= static_cast<double>(grid_points);
    out.mean_push_n = taper_sum(view, "thrust.mean", out.taper_mm, per_taper, true);
}

LoadedLobe loaded_lobe(const PreparedRun& prepared, std::size_t index, const Running& running) {
    const Run& run = *prepared.run;
    const Lobe& lobe = run.lobes[index];
    const LobeAlone alone(*prepared.curves[index], lobe, run);
    const LobeView& view = alone.view();
    LoadedLobe out;
    out.name = lobe.name;
    out.kind = lobe.kind;
    out.width_mm = lobe.width_mm;
    out.base_radius_mm =
        lobe.base_diameter_mm ? 0.5 * *lobe.base_diameter_mm : std::numeric_limits<double>::quiet_NaN();
    out.lift_mm = mixed(view.shape, view.geometry.mid());
    out.velocity = follower_motion(out.lift_mm, Derivative::velocity);
    out.acceleration = follower_motion(out.lift_mm, Derivative::acceleration);
    out.taper_mm = taper_curve(view, run.datum);
    const TaperFigures taper = taper_figures(view, run.datum);
    out.taper_u95_mm = {taper.base_mm.u95, taper.opening_mm.u95, taper.nose_mm.u95, taper.closing_mm.u95};
    const GridArc heel = view.heel.arc();
    out.load_n = loads(out, heel, run.valvetrain, running);
    add_pushes(out, view);
    out.heel = {static_cast<double>(heel.first), static_cast<double>(heel.first + heel.count - 1)};
    const auto& marks = view.own;
    out.opening = {marks.low.opening, marks.high.opening};
    out.closing = {marks.high.closing, marks.low.closing};
    const double half = nose_half_deg * grid_per_deg, middle = marks.half.middle();
    out.nose = {middle - half, middle + half};
    return out;
}

}  // namespace

std::vector<LoadedLobe> loaded_lobes(const PreparedRun& prepared, const Running& running) {
    check(*prepared.run, running);
    std::vector<LoadedLobe> out;
    for (std::size_t i = 0; i < prepared.run->lobes.size(); ++i)
        out.push_back(loaded_lobe(prepared, i, running));
    return out;
}

}  // namespace lobewright
