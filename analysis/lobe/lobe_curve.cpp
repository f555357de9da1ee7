#include "analysis/lobe/lobe_curve.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <stdexcept>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/lobe/legs.hpp"
#include "analysis/lobe/slips.hpp"
#include "analysis/lobe/sweep_notes.hpp"
#include "analysis/lobe/turn_clock.hpp"

namespace lobewright {
namespace {

constexpr double two_pi = 2.0 * std::numbers::pi;
constexpr std::size_t most_knots = grid_points;
constexpr std::size_t least_knots = 72;
// Below any indicator: only keeps weights finite on simulated readings without noise or step.
constexpr double least_sigma_mm = 1e-5;
// The first, rough curve only serves slopes and residuals: smoothed at the scale of two knots, it follows any
// lobe.
constexpr double rough_decades = -1.0;
constexpr double wander_share = 0.1;
// The smoothing that is best for the curve as a whole shaves the nose. A sixth of it leaves a sixth of that bias for a
// quarter more of the noise at a point, and of a mean over some degrees hardly any.
constexpr double undersmoothing = 1.0 / 6.0;
// Rounding moves an angle by half a count at most, 1.7 of its standard deviations; noise passes 6 once in
// 5e8. Rows beyond are strays (a knock, a finger on a tip); where they are many it isn't they that are wrong.
constexpr double stray_factor = 6.0;
constexpr double most_strays = 0.02;  // of all rows
constexpr double no_limit = 1e9;
constexpr double table_smoothing = 1e-4;  // of the rough one: through the rows to a hundredth of their noise
constexpr double table_margin_deg =
    7.0;  // a ramp that begins between two rows bends the curve back to the last

double places_per_turn(const std::vector<CleanSweep>& sweeps) {
    double places = 0.0;
    for (const auto& sweep : sweeps) places += static_cast<double>(sweep.samples.size());
    return places;
}

std::size_t knots_for(double places) {
    const auto twice = static_cast<std::size_t>(2.0 * places);
    return std::clamp(twice - twice % 2, least_knots, most_knots);
}

/// Quartile of |second differences| of both edges: the heel is more than half the turn, so that the lower
/// quartile is heel noise even when rows are degrees apart. sd(y1-2y2+y3) = sqrt(6) sigma; quartile of |z| =
/// 0.31864.
double rough_sigma(const std::vector<CleanSweep>& sweeps) {
    std::vector<double> size;
    for (const auto& sweep : sweeps) {
        const auto& s = sweep.samples;
        const std::size_t stride = std::max<std::size_t>(1, s.size() / 1500);
        for (std::size_t i = 1; i + 1 < s.size(); i += stride) {
            size.push_back(std::abs(s.front_mm[i - 1] - 2.0 * s.front_mm[i] + s.front_mm[i + 1]));
            size.push_back(std::abs(s.rear_mm[i - 1] - 2.0 * s.rear_mm[i] + s.rear_mm[i + 1]));
        }
    }
    const auto quartile = size.begin() + static_cast<std::ptrdiff_t>(size.size() / 4);
    std::nth_element(size.begin(), quartile, size.end());
    return *quartile / (0.3186393640 * std::sqrt(6.0));
}

/// Slopes of the mean of front and rear at the knots, mm per rad.
std::vector<double> knot_slopes(const PeriodicSpline& front, const PeriodicSpline& rear) {
    const std::size_t k = front.knots();
    std::vector<double> slope(k);
    const double half_per_rad =
        0.25 * static_cast<double>(k) / two_pi;  // central difference of coefficients, halved
    for (std::size_t j = 0; j < k; ++j) {
        const std::size_t next = j + 1 == k ? 0 : j + 1, last = j == 0 ? k - 1 : j - 1;
        slope[j] = half_per_rad * (front.coefficients()[next] - front.coefficients()[last] +
                                   rear.coefficients()[next] - rear.coefficients()[last]);
    }
    return slope;
}

double rough_lambda(const SplineSystem& system) {
    const double h = two_pi / static_cast<double>(system.knots());
    return std::pow(10.0, rough_decades) * system.total_weight() / static_cast<double>(system.knots()) * h *
           h * h;
}

/// Sums over the heel of the squared residuals of single readings, for sigma.
struct HeelResiduals {
    double front = 0.0;
    double rear = 0.0;
    double places = 0.0;
};

/// One pass over all samples with the weights that the slopes give.
struct WeightedPass {
    SplineSystem system;
    Legs legs;
    HeelResiduals heel;
};

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
        rough_fit();
        if (table_) settle_sigma_of_table();
        slips_ = take_slips_out(name_, sweeps_, front_, rear_, slope_);
        if (!slips_.empty()) rough_fit();
        WeightedPass pass = weighted_pass(table_ ? no_limit : stray_factor);
        if (static_cast<double>(strays_) > most_strays * places_per_turn(sweeps_)) {
            notes_.push_back(
                fmt::format("{} rows lie off the curve by more than noise: the cam or an indicator moved "
                            "while it was swept; all of them count",
                            strays_));
            pass = weighted_pass(no_limit);
        } else if (strays_ > 0) {
            notes_.push_back(fmt::format("{} row{} off the curve by more than noise left out", strays_,
                                         strays_ == 1 ? "" : "s"));
        }
        refine_sigma(pass.heel);
        const auto offsets = pass_offsets(pass.legs, sweeps_.size());
        take_offsets_off(pass, offsets);
        // Rows of a table lie too far apart to be smoothed: the curve goes through them.
        const double lambda = table_ ? table_smoothing * rough_lambda(pass.system)
                                     : undersmoothing * choose_smoothing(pass.system, 1.0);
        SplineSolver solver(pass.system, lambda);
        auto front = solver.fit(pass.system, 0), rear = solver.fit(pass.system, 1);
        LobeCurve curve{name_,
                        std::move(front),
                        std::move(rear),
                        std::move(pass.system),
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
        curve.table = table_;
        curve.angle_step_rad = step_;
        curve.passes = static_cast<int>(sweeps_.size());
        curve.notes = std::move(notes_);
        describe_noise(curve, pass.legs, offsets);
        auto notes = sweep_notes(sweeps_, slips_, offsets);
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
    double heel_dof_ = 1.0;        // behind both sigmas
    PeriodicSpline front_, rear_;  // rough curves
    std::vector<double> slope_;
    GridArc heel_;
    std::vector<FoundSlip> slips_;
    std::size_t strays_ = 0;
    double stray_limit_ = 0.0;
    struct VisitRow {
        double fraction = 0.0;
        double front = 0.0;  // residuals about the rough curves
        double rear = 0.0;
    };
    std::vector<VisitRow> visit_;  // the rows of the visit in hand
    std::vector<std::string> notes_;

    /// Walks over a sweep's samples, gathering each visit to a knot interval; `visit(interval, from, to)`
    /// gets the range of rows.
    template <typename Visit>
    void by_interval(const Samples& s, std::size_t stride, const Visit& visit) const {
        for (std::size_t i = 0; i < s.size();) {
            const std::size_t interval = spline_place(s.angle_rad[i], knots_).interval;
            std::size_t j = i + stride;
            while (j < s.size() && spline_place(s.angle_rad[j], knots_).interval == interval) j += stride;
            visit(interval, i, std::min(j, s.size()));
            i = j;
        }
    }

    void rough_fit() {
        SplineSystem system(knots_, 2);
        // A dozen places an interval are plenty for slopes.
        const double dense = places_per_turn(sweeps_) / (12.0 * static_cast<double>(knots_));
        const auto stride = std::max<std::size_t>(1, static_cast<std::size_t>(dense));
        for (const auto& sweep : sweeps_) {
            const auto& s = sweep.samples;
            by_interval(s, stride, [&](std::size_t interval, std::size_t from, std::size_t to) {
                IntervalMoments moments;
                for (std::size_t i = from; i < to; i += stride) {
                    const double u = spline_place(s.angle_rad[i], knots_).fraction;
                    moments.add(u, s.readings[i], s.front_mm[i], s.rear_mm[i]);
                }
                system.add(interval, moments);
            });
        }
        const SplineSolver solver(system,
                                  table_ ? table_smoothing * rough_lambda(system) : rough_lambda(system));
        front_ = solver.fit(system, 0);
        rear_ = solver.fit(system, 1);
        slope_ = knot_slopes(front_, rear_);
        locate_heel(front_, rear_, sigma_ * curve_noise_share());
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
            const auto values = on_grid(front ? front_ : rear_);
            const auto circle = SinusoidFit(grid_points, heel_).fit(values);
            for (const auto& sweep : sweeps_) {
                const auto& s = sweep.samples;
                for (std::size_t i = 0; i < s.size(); ++i) {
                    if (!on_heel(s.angle_rad[i])) continue;
                    const double r = (front ? s.front_mm[i] : s.rear_mm[i]) - circle.at(s.angle_rad[i]);
                    squares += r * r;
                    places += 1.0;
                }
            }
        }
        heel_dof_ = std::max(places - 6.0, 1.0);
        if (places > 12.0) sigma_ = std::max(std::sqrt(squares / heel_dof_), least_sigma_);
    }

    [[nodiscard]] bool on_heel(double theta_rad) const {
        const double x = theta_rad / two_pi;
        const auto g = static_cast<std::size_t>((x - std::floor(x)) * static_cast<double>(grid_points));
        return heel_.holds(std::min(g, grid_points - 1), grid_points);
    }

    WeightedPass weighted_pass(double limit) {
        stray_limit_ = limit;
        strays_ = 0;
        WeightedPass out{SplineSystem(knots_, 2), {}, {}};
        out.legs.intervals = knots_;
        std::vector<char> heel(knots_);
        for (std::size_t j = 0; j < knots_; ++j) {
            heel[j] = static_cast<char>(
                on_heel((static_cast<double>(j) + 0.5) * two_pi / static_cast<double>(knots_)));
        }
        for (std::size_t p = 0; p < sweeps_.size(); ++p) {
            const auto& s = sweeps_[p].samples;
            const TurnClock clock(sweeps_[p]);
            long leg_turn = -1;
            by_interval(s, 1, [&](std::size_t interval, std::size_t from, std::size_t to) {
                const long turn = clock.turn(s.angle_rad[from]);
                if (turn != leg_turn) {
                    leg_turn = turn;
                    out.legs.pass_of.push_back(p);
                    out.legs.bins.emplace_back(knots_);
                }
                add_visit(s, interval, from, to, clock, heel[interval] != 0, out);
            });
        }
        out.system.add_origin(0, front_.coefficients());
        out.system.add_origin(1, rear_.coefficients());
        return out;
    }

    /// A row beyond the limit is a stray when it stands off the other rows of its visit as well; where they are off
    /// together it is the rough curve that is, at a sharp corner.
    [[nodiscard]] bool stands_alone(std::size_t row, double reach) const {
        if (visit_.size() < 3) return false;
        double worst = 0.0;
        for (const auto edge : {&VisitRow::front, &VisitRow::rear}) {
            std::vector<double> all;
            for (const auto& v : visit_) all.push_back(v.*edge);
            const auto middle = all.begin() + static_cast<std::ptrdiff_t>(all.size() / 2);
            std::nth_element(all.begin(), middle, all.end());
            worst = std::max(worst, std::abs(visit_[row].*edge - *middle));
        }
        return worst * worst > reach;
    }

    void add_visit(const Samples& s, std::size_t interval, std::size_t from, std::size_t to,
                   const TurnClock& clock, bool on_heel, WeightedPass& out) {
        const double encoder = slope_[interval] * slope_[interval] * step_ * step_ / 12.0,
                     noise = sigma_ * sigma_;
        const auto front = front_.cubic(interval), rear = rear_.cubic(interval);
        const double reach = stray_limit_ * stray_limit_ * (noise + encoder);
        visit_.clear();
        bool beyond = false;
        for (std::size_t i = from; i < to; ++i) {
            const double u = spline_place(s.angle_rad[i], knots_).fraction;
            const double f = s.front_mm[i] - (front[0] + u * (front[1] + u * (front[2] + u * front[3])));
            const double r = s.rear_mm[i] - (rear[0] + u * (rear[1] + u * (rear[2] + u * rear[3])));
            visit_.push_back({u, f, r});
            beyond = beyond || std::max(f * f, r * r) > reach;
        }
        IntervalMoments moments;
        double turn = 0.0, front_squares = 0.0, rear_squares = 0.0;
        for (std::size_t i = from; i < to; ++i) {
            const auto [u, f, r] = visit_[i - from];
            if (beyond && std::max(f * f, r * r) > reach && stands_alone(i - from, reach)) {
                ++strays_;
                continue;
            }
            const double w = 1.0 / (noise / s.readings[i] + encoder);
            moments.add(u, w, f, r);
            turn += w * clock.elapsed_turns(i);
            front_squares += s.readings[i] * f * f;
            rear_squares += s.readings[i] * r * r;
        }
        out.system.add(interval, moments);
        auto& bin = out.legs.bins.back()[interval];
        bin.weight += moments.weight[0];
        bin.front += moments.value[0][0];
        bin.rear += moments.value[1][0];
        bin.turn += turn;
        if (!on_heel) return;
        out.heel.front += front_squares;
        out.heel.rear += rear_squares;
        out.heel.places += static_cast<double>(moments.samples);
    }

    void refine_sigma(const HeelResiduals& heel) {
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

    /// The offsets are micrometres and smooth: taking them off the right-hand sides interval by interval is
    /// exact to a thousandth of them.
    void take_offsets_off(WeightedPass& pass, const std::vector<PassOffset>& offsets) const {
        std::vector<double> front(knots_, 0.0), rear(knots_, 0.0);
        double front_squares = 0.0, rear_squares = 0.0;
        for (std::size_t leg = 0; leg < pass.legs.bins.size(); ++leg) {
            const auto& o = offsets[pass.legs.pass_of[leg]];
            for (std::size_t k = 0; k < knots_; ++k) {
                auto& bin = pass.legs.bins[leg][k];
                if (bin.weight <= 0.0) continue;
                const double theta = (static_cast<double>(k) + 0.5) * two_pi / static_cast<double>(knots_);
                const std::array<double, 4> x{1.0, std::cos(theta), std::sin(theta), bin.turn / bin.weight};
                double f = 0.0, r = 0.0;
                for (std::size_t i = 0; i < 4; ++i) {
                    f += o.front[i] * x[i];
                    r += o.rear[i] * x[i];
                }
                front_squares += f * (bin.weight * f - 2.0 * bin.front);
                rear_squares += r * (bin.weight * r - 2.0 * bin.rear);
                bin.front -= bin.weight * f;
                bin.rear -= bin.weight * r;
                front[k] += bin.weight * f;
                rear[k] += bin.weight * r;
            }
        }
        pass.system.shift_values(0, front, front_squares);
        pass.system.shift_values(1, rear, rear_squares);
    }

    /// The front-to-rear zero holds for some moment of a sweep, nobody knows which: indicators that drifted apart by d a
    /// turn may be off it by what they drift in half the sweep, half of it each.
    [[nodiscard]] double wander_apart_mm(const Legs& legs, const std::vector<char>& heel,
                                         const std::vector<PassOffset>& offsets, double prior_mm) const {
        double squares = 0.0;
        for (std::size_t p = 0; p < sweeps_.size(); ++p) {
            const double turns = std::min(sweeps_[p].covered_deg / 360.0, 3.0);
            const double drifted = 0.5 * turns * 0.5 * (offsets[p].rear[3] - offsets[p].front[3]);
            squares += drifted * drifted;
        }
        const double passes = static_cast<double>(sweeps_.size());
        return std::hypot(slow_wander_mm(legs, heel, prior_mm, Wander::apart), std::sqrt(squares / passes)) /
               std::sqrt(passes);
    }

    void describe_noise(LobeCurve& curve, const Legs& legs, const std::vector<PassOffset>& offsets) const {
        std::vector<char> heel(knots_, 0), flank(knots_, 0);
        auto& noise = curve.noise;
        noise.sigma_front_mm = sigma_front_;
        noise.sigma_rear_mm = sigma_rear_;
        noise.degrees_of_freedom = heel_dof_;
        noise.angle_share.resize(knots_);
        const double mean_readings = mean_readings_per_place();
        for (std::size_t j = 0; j < knots_; ++j) {
            const double encoder = slope_[j] * slope_[j] * step_ * step_ / 12.0;
            noise.angle_share[j] = encoder / (encoder + sigma_ * sigma_ / mean_readings);
            heel[j] = static_cast<char>(
                on_heel((static_cast<double>(j) + 0.5) * two_pi / static_cast<double>(knots_)));
            flank[j] = static_cast<char>(noise.angle_share[j] > 0.5);
        }
        const double tau_heel = table_ ? 1.0 : correlation_factor(legs, heel);
        const double tau_flank = table_ ? 1.0 : correlation_factor(legs, flank);
        noise.factor_front = sigma_front_ * sigma_front_ / (sigma_ * sigma_) * tau_heel;
        noise.factor_rear = sigma_rear_ * sigma_rear_ / (sigma_ * sigma_) * tau_heel;
        noise.factor_angle = tau_flank;
        // Unless legs say otherwise the rig is taken to wander by a tenth of its noise over a turn.
        const double wander_prior = table_ ? 0.0 : wander_share * sigma_;
        noise.drift_mm =
            slow_wander_mm(legs, heel, wander_prior) / std::sqrt(static_cast<double>(sweeps_.size()));
        noise.apart_mm = wander_apart_mm(legs, heel, offsets, wander_prior);
        curve.level_scatter_mm = level_scatter(offsets);
        if (table_) curve.interpolation_mm = interpolation_error(curve);
    }

    [[nodiscard]] double mean_readings_per_place() const {
        double readings = 0.0;
        for (const auto& sweep : sweeps_) {
            for (double n : sweep.samples.readings) readings += n;
        }
        return readings / places_per_turn(sweeps_);
    }

    static double level_scatter(const std::vector<PassOffset>& offsets) {
        if (offsets.size() < 2) return 0.0;
        double squares = 0.0;
        for (const auto& o : offsets) squares += (o.rear[0] - o.front[0]) * (o.rear[0] - o.front[0]);
        const auto n = static_cast<double>(offsets.size());
        return std::sqrt(squares / (n - 1.0) / n);
    }

    /// Every second row left out and predicted from the rest: what a cubic can't know at twice the spacing;
    /// at the spacing itself it is a sixteenth of that (fourth order), taken as the error's size anywhere on
    /// the event.
    [[nodiscard]] double interpolation_error(const LobeCurve& curve) const {
        double worst = 0.0;
        for (const std::size_t parity : {std::size_t{0}, std::size_t{1}}) {
            SplineSystem half(knots_, 2);
            for (const auto& sweep : sweeps_) {
                const auto& s = sweep.samples;
                for (std::size_t i = parity; i < s.size(); i += 2) {
                    half.add(spline_site(s.angle_rad[i], knots_), 1.0,
                             std::array{s.front_mm[i], s.rear_mm[i]});
                }
            }
            const SplineSolver solver(half, table_smoothing * rough_lambda(half));
            const auto coarse = on_grid(solver.fit(half, 0)), fine = on_grid(curve.front);
            double squares = 0.0, count = 0.0;
            for (std::size_t g = 0; g < grid_points; ++g) {
                if (heel_.holds(g, grid_points)) continue;
                squares += (coarse[g] - fine[g]) * (coarse[g] - fine[g]);
                count += 1.0;
            }
            worst = std::max(worst, std::sqrt(squares / std::max(count, 1.0)));
        }
        return worst / 16.0;
    }
};

}  // namespace

LobeCurve fit_lobe_curve(const std::string& name, std::vector<CleanSweep> sweeps, const RigInfo& rig) {
    return Fitter(name, std::move(sweeps), rig).run();
}

std::vector<double> on_grid(const PeriodicSpline& spline, double offset_rad) {
    std::vector<double> values(grid_points);
    const auto& c = spline.coefficients();
    const std::size_t k = c.size();
    if (k == grid_points) {  // every grid point has the same place within its interval
        const auto site = spline_site(offset_rad, k);
        for (std::size_t g = 0; g < grid_points; ++g) {
            double sum = 0.0;
            for (std::size_t p = 0; p < 4; ++p) {
                std::size_t j = site.first + g + p;
                while (j >= k) j -= k;
                sum += site.weight[p] * c[j];
            }
            values[g] = sum;
        }
        return values;
    }
    for (std::size_t g = 0; g < grid_points; ++g) {
        values[g] =
            spline.value(two_pi * static_cast<double>(g) / static_cast<double>(grid_points) + offset_rad);
    }
    return values;
}

}  // namespace lobewright
