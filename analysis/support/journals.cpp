#include "analysis/support/journals.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "analysis/constants.hpp"
#include "analysis/curve/periodic_spline.hpp"
#include "analysis/errors.hpp"
#include "analysis/lobe/legs.hpp"
#include "analysis/lobe/lobe_curve.hpp"
#include "analysis/lobe/slow_walk.hpp"
#include "analysis/lobe/turn_clock.hpp"
#include "analysis/support/axis_motion.hpp"
#include "analysis/support/v_block.hpp"
#include "analysis/sweep/clean_sweep.hpp"
#include "analysis/units.hpp"

namespace lobewright {
namespace {

constexpr int most_harmonics =
    16;  // 50 undulations are usual for roundness; a tip on a journal by hand shows fewer
constexpr double wander_share = 0.1;  // of the noise, where turns don't overlap to show it

/// Least squares of the harmonics over all samples through a dense spline: the samples' angles needn't be
/// even.
std::vector<std::complex<double>> harmonics_of(const std::vector<double>& grid) {
    std::vector<std::complex<double>> out(most_harmonics + 1);
    const auto n = static_cast<double>(grid.size());
    for (int h = 0; h <= most_harmonics; ++h) {
        std::complex<double> sum;
        for (std::size_t g = 0; g < grid.size(); ++g) {
            sum += grid[g] * std::polar(1.0, h * two_pi * static_cast<double>(g) / n);
        }
        out[static_cast<std::size_t>(h)] = sum * ((h == 0 ? 1.0 : 2.0) / n);
    }
    return out;
}

/// Bins whose weights are inverse variances.
Legs weighted(Legs legs, double noise_mm) {
    const double per = 1.0 / std::max(noise_mm * noise_mm, 1e-12);
    for (auto& bins : legs.bins) {
        for (auto& bin : bins) {
            bin.weight *= per;
            bin.front *= per;
            bin.rear *= per;
            bin.turn *= per;
        }
    }
    return legs;
}

/// Standard deviation of the first harmonic's real and imaginary part, by a random walk as strong as turns over the same
/// angles say, and by what noise leaves in the passes' offsets. `legs` have the mean of both readings in both.
double wander_of_first_harmonic(const Legs& legs, std::size_t passes, double noise_mm) {
    const LegNoise mean_noise{2.0, 0.0, {}};  // the mean of two alike is no quieter than either
    const auto strength =
        walk_strength(walk_evidence(legs, passes, mean_noise), Wander::alike, wander_share * noise_mm);
    const WalkOnCurve walk = walk_on_curve(legs, passes);
    const auto [cosine, sine] = grid_angles(grid_points);
    double variance = 0.0;
    for (const auto& part : {cosine, sine}) {
        std::vector<double> weights(part.begin(), part.end());
        for (double& one : weights) one *= 2.0 / static_cast<double>(grid_points);
        variance += 0.5 * (strength.mm2_per_turn * walk.gain(weights) + walk.offsets_gain(weights));
    }
    return std::sqrt(variance);
}

/// The mean of both readings (a journal read by one indicator has it in both) of all passes, with steady
/// drift and the passes' own zeros taken off where turns overlap.
struct JournalFit {
    PeriodicSpline spline;
    double noise_mm = 0.0;   // of one reading
    double weight = 0.0;     // readings
    double wander_mm = 0.0;  // of the first harmonic, by slow wander and the offsets that were taken off
};

/// Smoothed at about 10 degrees: journals are read for what turns the cam's axis, 16 undulations at most.
PeriodicSpline smoothed(const SplineSystem& system) {
    const double h = two_pi / static_cast<double>(grid_points);
    return SplineSolver(system, 1e2 * system.total_weight() / static_cast<double>(grid_points) * h * h * h)
        .fit(system, 0);
}

JournalFit fit_journal(const std::vector<CleanSweep>& sweeps) {
    JournalFit out;
    std::vector<PassOffset> offsets(sweeps.size());
    const std::vector<TurnClock> clocks(sweeps.begin(), sweeps.end());
    Legs legs;
    double squares = 0.0, places = 0.0;
    for (int round = 0; round < 2; ++round) {  // the second time without the offsets that the first found
        SplineSystem system(grid_points, 1);
        const auto value = [&](std::size_t p, std::size_t i) {
            const auto& s = sweeps[p].samples;
            const auto& o = offsets[p].front;
            return 0.5 * (s.front_mm[i] + s.rear_mm[i]) - o[0] - o[1] * std::cos(s.angle_rad[i]) -
                   o[2] * std::sin(s.angle_rad[i]) - o[3] * clocks[p].elapsed_turns(i);
        };
        for (std::size_t p = 0; p < sweeps.size(); ++p) {
            const auto& s = sweeps[p].samples;
            for (std::size_t i = 0; i < s.size(); ++i) {
                system.add(spline_site(s.angle_rad[i], grid_points), s.readings[i], std::array{value(p, i)});
            }
        }
        out.spline = smoothed(system);
        out.weight = system.total_weight();
        legs = {};
        legs.intervals = grid_points;
        squares = places = 0.0;
        for (std::size_t p = 0; p < sweeps.size(); ++p) {
            const auto& s = sweeps[p].samples;
            long leg_turn = -1;
            for (std::size_t i = 0; i < s.size(); ++i) {
                const long turn = clocks[p].turn(s.angle_rad[i]);
                if (turn != leg_turn) {
                    leg_turn = turn;
                    legs.pass_of.push_back(p);
                    legs.bins.emplace_back(grid_points);
                }
                const double r = value(p, i) - out.spline.value(s.angle_rad[i]);
                auto& bin = legs.bins.back()[spline_place(s.angle_rad[i], grid_points).interval];
                bin.weight += s.readings[i];
                bin.front += s.readings[i] * r;
                bin.rear += s.readings[i] * r;
                bin.turn += s.readings[i] * clocks[p].elapsed_turns(i);
                squares += s.readings[i] * r * r;
                places += 1.0;
            }
        }
        out.noise_mm = std::sqrt(squares / std::max(places, 1.0));
        if (round == 0) offsets = pass_offsets(weighted(legs, out.noise_mm), sweeps.size());
    }
    out.wander_mm = wander_of_first_harmonic(weighted(legs, out.noise_mm), sweeps.size(), out.noise_mm);
    return out;
}

JournalCurve curve_of(const Run& run, const BenchSetUp& set_up, const Journal& journal,
                      const std::vector<const Sweep*>& sweeps) {
    JournalCurve out;
    std::vector<CleanSweep> clean;
    clean.reserve(sweeps.size());
    for (const Sweep* sweep : sweeps) {
        clean.push_back(clean_sweep(*sweep, run.rig));
        take_lean_off(clean.back().samples, rad_from_deg(set_up.tip_lean_deg));
    }
    require_whole_turn(fmt::format("{}: journal '{}'", run.folder.string(), journal.name), clean);
    const auto fit = fit_journal(clean);
    out.name = journal.name;
    out.z_mm = journal.z_mm;
    out.in_v_block = journal.v_angle_deg.has_value();
    out.v_angle_deg = journal.v_angle_deg.value_or(0.0);
    out.indicator_deg = set_up.indicator_deg;
    out.reading = harmonics_of(on_grid(fit.spline));
    out.noise_mm = fit.noise_mm * std::sqrt(2.0 / std::max(fit.weight, 1.0));
    out.wander_mm = fit.wander_mm;
    if (out.in_v_block) {
        std::vector<int> hidden;
        for (int n = 2; n <= most_harmonics; ++n) {
            if (!is_seen(out, static_cast<std::size_t>(n))) hidden.push_back(n);
        }
        if (!hidden.empty()) {
            out.notes.push_back(
                fmt::format("journal {}: undulations of {} a turn aren't seen in a V-block of {:g} deg",
                            out.name, fmt::join(hidden, ", "), out.v_angle_deg));
        }
    }
    return out;
}

/// Largest minus smallest of a sum of harmonics over a turn.
double range_of(const std::vector<std::complex<double>>& harmonics, std::size_t first) {
    const auto curve = harmonics_on_grid(harmonics, first, grid_points);
    const auto [low, high] = std::minmax_element(curve.begin(), curve.end());
    return *high - *low;
}

/// A range without what noise alone would add to it, in squares; u95 from the two extremes.
Measured range_figure(double range, double noise_mm, double parts) {
    const double sd = noise_mm * std::sqrt(parts);
    return {std::sqrt(std::max(range * range - 4.0 * sd * sd, 0.0)),
            1.959963984540054 * std::numbers::sqrt2 * sd};
}

}  // namespace

bool is_seen(const JournalCurve& journal, std::size_t n) {
    return !journal.in_v_block || std::abs(v_block_reading(static_cast<int>(n), journal.v_angle_deg,
                                                           journal.indicator_deg)) >= least_seen;
}

std::vector<double> harmonics_on_grid(const std::vector<std::complex<double>>& harmonics, std::size_t first,
                                      std::size_t points) {
    std::vector<double> out(points, 0.0);
    for (std::size_t g = 0; g < points; ++g) {
        const double theta = two_pi * static_cast<double>(g) / static_cast<double>(points);
        for (std::size_t n = first; n < harmonics.size(); ++n) {
            out[g] += (harmonics[n] * std::polar(1.0, -static_cast<double>(n) * theta)).real();
        }
    }
    return out;
}

std::vector<std::complex<double>> journal_form(const JournalCurve& journal, const AxisMotion& axis) {
    auto form = journal.reading;
    for (std::size_t n = 0; n < form.size(); ++n) {
        if (n < 2 || !is_seen(journal, n)) {
            form[n] = 0.0;
        } else if (journal.in_v_block) {
            form[n] /= v_block_reading(static_cast<int>(n), journal.v_angle_deg, journal.indicator_deg);
        } else {
            form[n] -= axis.harmonic(journal.z_mm, n);
        }
    }
    return form;
}

std::vector<JournalCurve> journal_curves(const Run& run, const BenchSetUp& set_up) {
    std::vector<JournalCurve> out;
    for (const auto& journal : run.journals) {
        std::vector<const Sweep*> sweeps;
        for (const auto& sweep : run.sweeps) {
            if (sweep.of == journal.name) sweeps.push_back(&sweep);
        }
        if (!sweeps.empty()) out.push_back(curve_of(run, set_up, journal, sweeps));
    }
    return out;
}

JournalFigures journal_figures(const JournalCurve& journal, const AxisMotion& axis, double error_limit_mm) {
    JournalFigures out;
    out.name = journal.name;
    out.runout_mm = range_figure(range_of(journal.reading, 1), journal.noise_mm, 2.0 * most_harmonics);
    const auto form = journal_form(journal, axis);
    double gain = 0.0;
    for (std::size_t n = 2; n < form.size() && journal.in_v_block; ++n) {
        if (!is_seen(journal, n)) continue;
        gain +=
            1.0 / std::norm(v_block_reading(static_cast<int>(n), journal.v_angle_deg, journal.indicator_deg));
    }
    const double parts = journal.in_v_block ? 2.0 * gain : 2.0 * (most_harmonics - 1);
    out.out_of_round_mm = range_figure(range_of(form, 2), journal.noise_mm, parts);
    // Over a few hundredths of travel the indicator's error changes by a small part of its limit.
    const double travel = out.runout_mm.value;
    const double drift = error_limit_mm * std::min(1.0, travel / 0.5);
    const double wander = 1.959963984540054 * 2.0 * journal.wander_mm;
    out.runout_mm.u95 = std::hypot(out.runout_mm.u95, drift, wander);
    out.out_of_round_mm.u95 = std::hypot(out.out_of_round_mm.u95, drift, wander);
    return out;
}

}  // namespace lobewright
