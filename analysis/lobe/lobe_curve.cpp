#include "analysis/lobe/lobe_curve.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/lobe/rough_curve.hpp"
#include "analysis/lobe/slips.hpp"
#include "analysis/lobe/sweep_notes.hpp"

namespace lobewright {
namespace {

// Below any indicator: only keeps weights finite on simulated readings without noise or step.
constexpr double least_sigma_mm = 1e-5;
// The smoothing that is best for the curve as a whole shaves the nose. A sixth of it leaves a sixth of that bias for a
// quarter more of the noise at a point, and of a mean over some degrees hardly any.
constexpr double undersmoothing = 1.0 / 6.0;
// Rounding moves an angle by half a count at most, 1.7 of its standard deviations; noise passes 6 once in
// 5e8. Rows beyond are strays (a knock, a finger on a tip); where they are many it isn't they that are wrong.
constexpr double stray_factor = 6.0;
constexpr double most_strays = 0.02;  // of all rows
constexpr double no_limit = 1e9;
constexpr double table_margin_deg =
    7.0;  // a ramp that begins between two rows bends the curve back to the last

class Fitter {
public:
    Fitter(const std::string& name, std::vector<CleanSweep> sweeps, const RigInfo& rig)
        : name_(name), sweeps_(std::move(sweeps)), rig_(rig), knots_(knots_for(places_per_turn(sweeps_))) {
        for (const auto& sweep : sweeps_) {
            table_ = table_ || sweep.table;
            step_ = std::max(step_, sweep.angle_step_rad);
        }
    }

    LobeCurve run() {
        require_whole_turn(fmt::format("lobe '{}'", name_), sweeps_);
        least_sigma_ = std::max(least_sigma_mm, rig_.resolution_mm.value_or(0.0) / std::sqrt(12.0));
        sigma_ = std::max(rough_sigma(sweeps_), least_sigma_);
        fit_roughly();
        if (table_) settle_sigma_of_table();
        const auto slips = take_slips_out(name_, sweeps_, rough_.front, rough_.rear, rough_.slope);
        if (!slips.empty()) fit_roughly();
        WeightedRows rows = weigh_all();
        settle_sigmas(rows.heel);
        const auto offsets = pass_offsets(rows.legs, sweeps_.size());
        take_offsets_off(rows, offsets);
        LobeCurve curve = fit_curve(rows);
        describe_noise(curve.noise, sweeps_, rows, weighing(stray_factor), rough_.slope, offsets, table_);
        curve.level_scatter_mm = level_scatter_mm(offsets);
        if (table_) curve.interpolation_mm = interpolation_error_mm(sweeps_, curve.front, curve.heel);
        const auto notes = sweep_notes(sweeps_, slips, offsets);
        curve.notes.insert(curve.notes.end(), notes.begin(), notes.end());
        return curve;
    }

private:
    std::string name_;
    std::vector<CleanSweep> sweeps_;
    const RigInfo& rig_;
    std::size_t knots_;
    bool table_ = false;
    double step_ = 0.0;
    double sigma_ = 0.0;
    double least_sigma_ = 0.0;  // rounding alone makes as much
    double sigma_front_ = 0.0;
    double sigma_rear_ = 0.0;
    double heel_dof_ = 1.0;  // behind both sigmas
    RoughCurve rough_;
    GridArc heel_;
    std::vector<std::string> notes_;

    void fit_roughly() {
        rough_ = fit_rough_curve(sweeps_, knots_, table_);
        locate_heel(rough_.front, rough_.rear, sigma_ * curve_noise_share());
    }

    [[nodiscard]] RowWeighing weighing(double strays) const { return {sigma_, step_, heel_, strays}; }

    /// All rows with their weights, strays left out unless they are many.
    WeightedRows weigh_all() {
        WeightedRows rows = weigh_rows(sweeps_, rough_, weighing(table_ ? no_limit : stray_factor));
        if (static_cast<double>(rows.strays) > most_strays * places_per_turn(sweeps_)) {
            notes_.push_back(
                fmt::format("{} rows lie off the curve by more than noise: the cam or an indicator moved "
                            "while it was swept; all of them count",
                            rows.strays));
            return weigh_rows(sweeps_, rough_, weighing(no_limit));
        }
        if (rows.strays > 0) {
            notes_.push_back(fmt::format("{} row{} off the curve by more than noise left out", rows.strays,
                                         rows.strays == 1 ? "" : "s"));
        }
        return rows;
    }

    /// The curve itself, with its heel and what is known of single readings. Takes the rows' system over.
    LobeCurve fit_curve(WeightedRows& rows) {
        const double lambda =
            table_ ? table_lambda(rows.system) : undersmoothing * choose_smoothing(rows.system, 1.0);
        SplineSolver solver(rows.system, lambda);
        auto front = solver.fit(rows.system, 0), rear = solver.fit(rows.system, 1);
        LobeCurve curve{name_,
                        std::move(front),
                        std::move(rear),
                        std::move(rows.system),
                        std::move(solver),
                        {},
                        {},
                        {},
                        {},
                        {},
                        {},
                        {}};
        locate_heel(curve.front, curve.rear, std::max(sigma_front_, sigma_rear_) * curve_noise_share());
        curve.heel = heel_;
        curve.noise.sigma_front_mm = sigma_front_;
        curve.noise.sigma_rear_mm = sigma_rear_;
        curve.noise.degrees_of_freedom = heel_dof_;
        curve.table = table_;
        curve.angle_step_rad = step_;
        curve.passes = static_cast<int>(sweeps_.size());
        curve.notes = std::move(notes_);
        return curve;
    }

    /// Noise of the curve's mean over a degree or so, against that of one reading.
    [[nodiscard]] double curve_noise_share() const {
        return 1.0 / std::sqrt(std::max(1.0, places_per_turn(sweeps_) / 360.0));
    }

    /// How far rounding to the indicators' step may leave a mean over some degrees off: half a step where no noise shakes
    /// the readings over its edge, next to nothing from half a step of noise on (the first harmonic of what rounding
    /// leaves: B. Widrow, I. Kollar, "Quantization Noise", 2008, from memory).
    [[nodiscard]] double rounding_left_mm() const {
        const double step = rig_.resolution_mm.value_or(0.0);
        if (step <= 0.0) return 0.0;
        const double noise = std::max(0.0, sigma_ * sigma_ / (step * step) - 1.0 / 12.0);
        return 0.5 * step * std::exp(-2.0 * std::numbers::pi * std::numbers::pi * noise);
    }

    void locate_heel(const PeriodicSpline& front, const PeriodicSpline& rear, double noise_mm) {
        auto mid = on_grid(front);
        const auto other = on_grid(rear);
        for (std::size_t g = 0; g < mid.size(); ++g) mid[g] = 0.5 * (mid[g] + other[g]);
        try {
            HeelOptions options;
            options.form_allowance_mm += rounding_left_mm();
            if (table_) options.margin_deg = table_margin_deg;
            heel_ = find_heel(mid, noise_mm, options);
        } catch (const std::domain_error&) {
            throw DataError(
                fmt::format("lobe '{}': no stretch of the turn is flat enough to be its heel; check that "
                            "the sweep is of this lobe and that the indicators followed it",
                            name_));
        }
    }

    /// In a table the second differences of the heel are all there is: sigma from the heel's own circle.
    void settle_sigma_of_table() {
        double squares = 0.0, places = 0.0;
        for (const bool front : {true, false}) {
            const auto values = on_grid(front ? rough_.front : rough_.rear);
            const auto circle = SinusoidFit(grid_points, heel_).fit(values);
            for (const auto& sweep : sweeps_) {
                const auto& s = sweep.samples;
                for (std::size_t i = 0; i < s.size(); ++i) {
                    if (!on_arc(heel_, s.angle_rad[i])) continue;
                    const double r = (front ? s.front_mm[i] : s.rear_mm[i]) - circle.at(s.angle_rad[i]);
                    squares += r * r;
                    places += 1.0;
                }
            }
        }
        heel_dof_ = std::max(places - 6.0, 1.0);
        if (places > 12.0) sigma_ = std::max(std::sqrt(squares / heel_dof_), least_sigma_);
    }

    /// Each indicator's own sigma from the heel's residuals.
    void settle_sigmas(const HeelResiduals& heel) {
        sigma_front_ = sigma_rear_ = sigma_;
        if (table_ || heel.places < 50.0) return;
        // What the rough curve took up of each interval: 2 tr H - tr H^2 of its smoothing, 0.72.
        const double used =
            static_cast<double>(heel_.count) * static_cast<double>(knots_) / grid_points * 0.72;
        const double dof = std::max(heel.places - used, 0.3 * heel.places);
        heel_dof_ = 2.0 * dof;
        sigma_front_ = std::max(std::sqrt(heel.front / dof), least_sigma_);
        sigma_rear_ = std::max(std::sqrt(heel.rear / dof), least_sigma_);
    }
};

}  // namespace

LobeCurve fit_lobe_curve(const std::string& name, std::vector<CleanSweep> sweeps, const RigInfo& rig) {
    return Fitter(name, std::move(sweeps), rig).run();
}

LobeCurve smoothing_given_back(const LobeCurve& curve) {
    LobeCurve out = curve;
    out.solver = curve.solver.given_back();
    out.front = out.solver.fit(out.system, 0);
    out.rear = out.solver.fit(out.system, 1);
    return out;
}

}  // namespace lobewright
