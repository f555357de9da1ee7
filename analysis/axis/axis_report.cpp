#include "analysis/axis/axis_report.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "analysis/constants.hpp"
#include "analysis/curve/gaussian_filter.hpp"
#include "analysis/errors.hpp"
#include "analysis/lobe/lobe_alone.hpp"
#include "analysis/prepared_run.hpp"
#include "analysis/support/axis_curve.hpp"
#include "analysis/support/v_block.hpp"
#include "analysis/uncertainty/terms.hpp"
#include "analysis/units.hpp"

namespace lobewright {
namespace {

using Offset = std::complex<double>;

/// `u_mm` is the standard uncertainty of either part.
OffsetFigure offset_figure(Offset offset, double u_mm) {
    return {{std::abs(offset), normal_95 * u_mm}, std::fmod(deg_from_rad(std::arg(offset)) + 360.0, 360.0)};
}

/// Largest less smallest of what the cut-off leaves of the form.
Measured roundness(const std::vector<Offset>& form, const Measured& out_of_round_mm, double cutoff_upr) {
    const auto filtered = gaussian_filter(harmonics_on_grid(form, 2, grid_points), cutoff_upr).long_wave;
    const auto [low, high] = std::minmax_element(filtered.begin(), filtered.end());
    return {*high - *low, out_of_round_mm.u95};
}

std::vector<Undulation> undulations_of(const JournalCurve& journal, const std::vector<Offset>& form) {
    std::vector<Undulation> out;
    for (std::size_t n = 2; n < form.size(); ++n) {
        const auto per_turn = static_cast<int>(n);
        const double shown =
            journal.in_v_block
                ? std::abs(v_block_reading(per_turn, journal.v_angle_deg, journal.indicator_deg))
                : 1.0;
        Undulation one{per_turn, {}, shown};
        if (is_seen(journal, n)) one.amplitude_mm = {std::abs(form[n]), normal_95 * journal.noise_mm / shown};
        out.push_back(one);
    }
    return out;
}

JournalReport journal_report(const PreparedRun& prepared, const AxisCurve& axis, const JournalCurve& journal,
                             double cutoff_upr) {
    JournalReport out;
    out.name = journal.name;
    out.z_mm = journal.z_mm;
    out.in_v_block = journal.in_v_block;
    out.v_angle_deg = journal.v_angle_deg;
    out.figures = journal_figures(journal, prepared.motion, prepared.run->rig.error_limit_mm.value_or(0.0));
    const auto form = journal_form(journal, prepared.motion);
    out.roundness_mm = roundness(form, out.figures.out_of_round_mm, cutoff_upr);
    out.undulations = undulations_of(journal, form);
    for (const AxisPoint& point : axis.points()) {
        if (axis.known() && point.name == journal.name) out.axis = offset_figure(point.offset_mm, point.u_mm);
    }
    return out;
}

/// The once-per-turn part of a lobe at mid-width, and the standard uncertainty of its parts.
std::pair<Offset, double> lobe_offset(const LobeView& view) {
    const auto mix = view.geometry.mid();
    const auto &f = view.shape.front_circle, &r = view.shape.rear_circle;
    double squares = 0.0;
    for (const std::size_t part : {std::size_t{1}, std::size_t{2}}) {
        Influence influence;
        influence.used.circle[0][part] = mix.front;
        influence.used.circle[1][part] = mix.rear;
        const double u = view.all.terms(influence).expanded() / normal_95;
        squares += 0.5 * u * u;
    }
    return {{mix.front * f.a + mix.rear * r.a, mix.front * f.b + mix.rear * r.b}, std::sqrt(squares)};
}

LobeAxis lobe_axis(const PreparedRun& prepared, const AxisCurve& axis, std::size_t index) {
    const Lobe& lobe = prepared.run->lobes[index];
    const LobeAlone alone(*prepared.curves[index], lobe, *prepared.run);
    const auto [offset, u_mm] = lobe_offset(alone.view());
    LobeAxis out;
    out.name = lobe.name;
    out.z_mm = lobe.z_mm;
    out.as_swept = offset_figure(offset, u_mm);
    if (!axis.known()) return out;
    const double axis_u_mm = axis.u_mm_at(lobe.z_mm);
    out.bend = offset_figure(axis.at(lobe.z_mm), axis_u_mm);
    out.left =
        offset_figure(offset - axis.line_at(lobe.z_mm) - axis.at(lobe.z_mm), std::hypot(u_mm, axis_u_mm));
    return out;
}

}  // namespace

AxisReport axis_report(const Run& run, const AxisOptions& options) {
    if (!(options.cutoff_upr >= 1.0 && options.cutoff_upr <= 50.0)) {
        throw UsageError(fmt::format("a cut-off of {:g} undulations a turn can't be used; give 1 to 50",
                                     options.cutoff_upr));
    }
    const auto prepared = prepare_runs({{&run, options.set_up}}, options.threads);
    const AxisCurve axis(run, prepared[0].journals);
    AxisReport out;
    out.run = run.info;
    out.units = run.units;
    out.between_centres = axis.between_centres();
    out.cutoff_upr = options.cutoff_upr;
    out.notes = prepared[0].notes;
    for (const JournalCurve& journal : prepared[0].journals) {
        out.journals.push_back(journal_report(prepared[0], axis, journal, options.cutoff_upr));
    }
    out.bend_mm = bend(axis, out.notes);
    for (std::size_t i = 0; i < run.lobes.size(); ++i) {
        out.lobes.push_back(lobe_axis(prepared[0], axis, i));
        const Measured& left = out.lobes.back().left.size_mm;
        if (left.known() && !(2.0 * left.value <= out.runout_left_mm.value)) {
            out.runout_left_mm = {2.0 * left.value, 2.0 * left.u95};
        }
    }
    return out;
}

}  // namespace lobewright
