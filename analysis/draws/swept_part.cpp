#include "analysis/draws/swept_part.hpp"

#include <algorithm>
#include <cmath>

#include "analysis/sweep/clean_sweep.hpp"
#include "analysis/uncertainty/influence.hpp"
#include "analysis/uncertainty/slow_spectra.hpp"
#include "analysis/units.hpp"

namespace lobewright {
namespace {

/// The noise that rounding then makes into what was seen.
double before_rounding(double seen_mm, double step_mm) {
    return std::sqrt(std::max(0.0, seen_mm * seen_mm - step_mm * step_mm / 12.0));
}

double mean_on(const std::vector<double>& values, GridArc arc) {
    double sum = 0.0;
    for (std::size_t i = 0; i < arc.count; ++i) sum += values[(arc.first + i) % values.size()];
    return sum / static_cast<double>(arc.count);
}

}  // namespace

double on_turn(const std::vector<double>& grid, double angle_rad) {
    if (grid.empty()) return 0.0;
    const double x = turn_fraction(angle_rad) * static_cast<double>(grid.size());
    const auto g = std::min(static_cast<std::size_t>(x), grid.size() - 1);
    const double next = grid[g + 1 == grid.size() ? 0 : g + 1];
    return grid[g] + (x - static_cast<double>(g)) * (next - grid[g]);
}

double TrueReading::at(double angle_rad) const {
    return (curve.knots() > 0 ? curve.value(angle_rad) : 0.0) + on_turn(on_grid, angle_rad);
}

SweptPart lobe_part(const Run& run, const LobeCurve& curve) {
    SweptPart out;
    const double step = run.rig.resolution_mm.value_or(0.0);
    const auto sweeps = static_cast<double>(curve.passes);
    for (std::size_t c = 0; c < 2; ++c) {
        auto& reading = out.reading[c];
        reading.curve = c == 0 ? curve.front : curve.rear;
        reading.on_grid = c == 0 ? curve.front_motion : curve.rear_motion;
        reading.noise_mm =
            before_rounding(c == 0 ? curve.noise.sigma_front_mm : curve.noise.sigma_rear_mm, step);
        const auto values = on_grid(reading.curve);
        reading.heel_mm = mean_on(values, curve.heel);
        const auto [low, high] = std::minmax_element(values.begin(), values.end());
        const double lift = *high - reading.heel_mm;
        out.error[c] =
            UnknownError(run.rig.error_limit_mm.value_or(0.0), indicator_travel_mm(lift), *low, *high);
    }
    out.degrees_of_freedom = curve.noise.degrees_of_freedom;
    out.count_rad = curve.angle_step_rad;
    if (!curve.table) out.walk = curve.noise.walk_strength;
    out.apart_level_mm =
        curve.noise.apart_level_mm * std::sqrt(sweeps);  // of the mean of the sweeps it is that
    out.level_mm = curve.level_scatter_mm * std::sqrt(sweeps);
    out.between_rows_mm = curve.interpolation_mm;
    out.axis_doubt_mm = curve.axis_doubt_mm;
    out.heel = curve.heel;
    out.grows = true;
    return out;
}

SweptPart journal_part(const Run& run, const JournalCurve& journal) {
    SweptPart out;
    double readings = 0.0, sweeps = 0.0;
    bool both = false;
    for (const auto& sweep : run.sweeps) {
        if (sweep.of != journal.name) continue;
        const auto clean = clean_sweep(sweep, run.rig);
        for (const double n : clean.samples.readings) readings += n;
        sweeps += 1.0;
        both = !sweep.front_mm.empty() && !sweep.rear_mm.empty();
        out.count_rad = clean.angle_step_rad;
    }
    const auto values = harmonics_on_grid(journal.reading, 0, grid_points);
    // noise_mm is that of a harmonic: sigma sqrt(2 / readings).
    const double sigma = journal.noise_mm * std::sqrt(0.5 * readings * (both ? 2.0 : 1.0));
    for (auto& reading : out.reading) {
        reading.on_grid = values;
        reading.noise_mm = before_rounding(sigma, run.rig.resolution_mm.value_or(0.0));
    }
    out.degrees_of_freedom = readings;
    // The journal's is that of the first harmonic of all its sweeps.
    out.wander_mm = journal.wander_mm * std::sqrt(sweeps / wander_spectrum[1]);
    return out;
}

}  // namespace lobewright
