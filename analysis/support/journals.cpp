#include "analysis/support/journals.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "analysis/curve/periodic_spline.hpp"
#include "analysis/errors.hpp"
#include "analysis/lobe/legs.hpp"
#include "analysis/lobe/lobe_curve.hpp"
#include "analysis/lobe/turn_clock.hpp"
#include "analysis/support/v_block.hpp"
#include "analysis/sweep/clean_sweep.hpp"

namespace lobewright {
namespace {

constexpr double two_pi = 2.0 * std::numbers::pi;
constexpr int most_harmonics =
    16;  // 50 undulations are usual for roundness; a tip on a journal by hand shows fewer
constexpr double least_seen = 0.3;    // a harmonic seen smaller than this is divided by too little to trust
constexpr double wander_share = 0.1;  // of the noise, where turns don't overlap to show it
constexpr double significance = 3.0;  // of a harmonic above its noise, to be believed as the axis' motion

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

/// The mean of both readings (a journal read by one indicator has it in both) of all passes, with steady
/// drift and the passes' own zeros taken off where turns overlap.
struct JournalFit {
    PeriodicSpline spline;
    double noise_mm = 0.0;   // of one reading
    double weight = 0.0;     // readings
    double wander_mm = 0.0;  // what of drift is left
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
    out.wander_mm = slow_wander_mm(weighted(legs, out.noise_mm), std::vector<char>(grid_points, 1),
                                   wander_share * out.noise_mm) /
                    std::sqrt(static_cast<double>(sweeps.size()));
    return out;
}

JournalCurve curve_of(const Run& run, const Journal& journal, const std::vector<const Sweep*>& sweeps) {
    JournalCurve out;
    std::vector<CleanSweep> clean;
    clean.reserve(sweeps.size());
    for (const Sweep* sweep : sweeps) clean.push_back(clean_sweep(*sweep, run.rig));
    require_whole_turn(fmt::format("{}: journal '{}'", run.folder.string(), journal.name), clean);
    const auto fit = fit_journal(clean);
    out.name = journal.name;
    out.z_mm = journal.z_mm;
    out.in_v_block = journal.v_angle_deg.has_value();
    out.v_angle_deg = journal.v_angle_deg.value_or(0.0);
    out.reading = harmonics_of(on_grid(fit.spline));
    out.noise_mm = fit.noise_mm * std::sqrt(2.0 / std::max(fit.weight, 1.0));
    out.wander_mm = fit.wander_mm;
    if (out.in_v_block) {
        std::vector<int> hidden;
        for (int n = 2; n <= most_harmonics; ++n) {
            if (std::abs(v_block_reading(n, out.v_angle_deg)) < least_seen) hidden.push_back(n);
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
    double low = 0.0, high = 0.0;
    for (std::size_t g = 0; g < grid_points; ++g) {
        const double theta = two_pi * static_cast<double>(g) / static_cast<double>(grid_points);
        double value = 0.0;
        for (std::size_t h = first; h < harmonics.size(); ++h) {
            value += (harmonics[h] * std::polar(1.0, -static_cast<double>(h) * theta)).real();
        }
        low = g == 0 ? value : std::min(low, value);
        high = g == 0 ? value : std::max(high, value);
    }
    return high - low;
}

/// A range without what noise alone would add to it, in squares; u95 from the two extremes.
Measured range_figure(double range, double noise_mm, double parts) {
    const double sd = noise_mm * std::sqrt(parts);
    return {std::sqrt(std::max(range * range - 4.0 * sd * sd, 0.0)),
            1.959963984540054 * std::numbers::sqrt2 * sd};
}

}  // namespace

std::vector<JournalCurve> journal_curves(const Run& run) {
    std::vector<JournalCurve> out;
    for (const auto& journal : run.journals) {
        std::vector<const Sweep*> sweeps;
        for (const auto& sweep : run.sweeps) {
            if (sweep.of == journal.name) sweeps.push_back(&sweep);
        }
        if (!sweeps.empty()) out.push_back(curve_of(run, journal, sweeps));
    }
    return out;
}

JournalFigures journal_figures(const JournalCurve& journal, const AxisMotion& axis, double error_limit_mm) {
    JournalFigures out;
    out.name = journal.name;
    out.runout_mm = range_figure(range_of(journal.reading, 1), journal.noise_mm, 2.0 * most_harmonics);
    auto form = journal.reading;
    double gain = 0.0;
    for (std::size_t n = 2; n < form.size(); ++n) {
        if (!journal.in_v_block) {
            form[n] -= axis.harmonic(journal.z_mm, n);
            continue;
        }
        const double f = v_block_reading(static_cast<int>(n), journal.v_angle_deg);
        form[n] = std::abs(f) < least_seen ? std::complex<double>{} : form[n] / f;
        gain += std::abs(f) < least_seen ? 0.0 : 1.0 / (f * f);
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

Measured bend(const std::vector<JournalCurve>& journals, std::vector<std::string>& notes) {
    const auto supports =
        std::count_if(journals.begin(), journals.end(), [](const auto& j) { return j.in_v_block; });
    Measured out;
    for (const auto& j : journals) {
        if (j.in_v_block) continue;
        const double total = 2.0 * std::abs(j.reading[1]);
        const double u = 2.0 * std::hypot(j.noise_mm, j.wander_mm);
        if (!out.known() || total > out.value) out = {total, 1.959963984540054 * u};
    }
    if (out.known() && supports >= 1) return out;
    notes.emplace_back(
        "bend isn't known: it needs a sweep of a journal that carries nothing while the cam rests in its "
        "V-blocks");
    return {};
}

AxisMotion::AxisMotion(const Run& run, const std::vector<JournalCurve>& journals,
                       std::vector<std::string>& notes) {
    const JournalCurve* first = nullptr;
    const JournalCurve* last = nullptr;
    for (const auto& j : journals) {
        if (!j.in_v_block) continue;
        if (first == nullptr) first = &j;
        last = &j;
    }
    const bool rests_in_v = std::any_of(run.journals.begin(), run.journals.end(),
                                        [](const Journal& j) { return j.v_angle_deg.has_value(); });
    if (first == nullptr || first == last) {
        if (rests_in_v) {
            notes.emplace_back(
                "the journals in the V-blocks weren't both swept: what their roundness moves the cam by "
                "stands in the "
                "lift and isn't taken off");
        }
        return;
    }
    const auto rise = [](const JournalCurve& j) {
        std::vector<std::complex<double>> out(j.reading.size());
        for (std::size_t n = 2; n < out.size(); ++n) {
            const double f = v_block_reading(static_cast<int>(n), j.v_angle_deg);
            if (std::abs(f) < least_seen || std::abs(j.reading[n]) < significance * j.noise_mm) continue;
            out[n] = j.reading[n] * ((f - 1.0) / f);
        }
        return out;
    };
    z1_mm_ = first->z_mm;
    z2_mm_ = last->z_mm;
    rise1_ = rise(*first);
    rise2_ = rise(*last);
}

std::complex<double> AxisMotion::harmonic(double z_mm, std::size_t n) const {
    if (n >= rise1_.size()) return {};
    const double share = (z_mm - z1_mm_) / (z2_mm_ - z1_mm_);
    return (1.0 - share) * rise1_[n] + share * rise2_[n];
}

double AxisMotion::at(double z_mm, double theta_rad) const {
    double sum = 0.0;
    for (std::size_t n = 2; n < rise1_.size(); ++n) {
        sum += (harmonic(z_mm, n) * std::polar(1.0, -static_cast<double>(n) * theta_rad)).real();
    }
    return sum;
}

}  // namespace lobewright
