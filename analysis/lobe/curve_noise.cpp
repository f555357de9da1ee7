#include "analysis/lobe/curve_noise.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace lobewright {
namespace {

constexpr double wander_share = 0.1;
// An encoder's rounding on a cam that turns evenly runs through its range row by row, so that its mean is better known than
// that of as many independent ones: by a seventh on the mean over rigs. No legs are believed that say more than a half.
constexpr double evenly_rounded = 0.5;

double mean_readings_per_place(const std::vector<CleanSweep>& sweeps) {
    double readings = 0.0;
    for (const auto& sweep : sweeps) {
        for (const double n : sweep.samples.readings) readings += n;
    }
    return readings / places_per_turn(sweeps);
}

/// The front-to-rear zero holds for some moment of a sweep, nobody knows which: indicators that drifted steadily apart by d
/// a turn may be off it by what they drift in half the sweep, half of it each. What a walk feigns as steady drift is in the
/// walk's own part.
double apart_level_mm(const CurveNoise& noise, const std::vector<CleanSweep>& sweeps,
                      const std::vector<PassOffset>& offsets) {
    const double walked = noise.walk_strength[static_cast<std::size_t>(Wander::apart)].mm2_per_turn;
    double squares = 0.0;
    for (std::size_t p = 0; p < sweeps.size(); ++p) {
        const double turns = std::min(sweeps[p].covered_deg / 360.0, 3.0);
        const double apart = 0.5 * (offsets[p].rear[3] - offsets[p].front[3]);
        const double noisy = 0.5 * offsets[p].drift_u_mm * offsets[p].drift_u_mm + walked / turns;
        squares += 0.25 * turns * turns * std::max(apart * apart - noisy, 0.0);
    }
    return std::sqrt(squares) / static_cast<double>(sweeps.size());
}

/// The grid's event, root mean square of what two curves differ by.
double differ_on_event(const std::vector<double>& a, const std::vector<double>& b, const GridArc& heel) {
    double squares = 0.0, count = 0.0;
    for (std::size_t g = 0; g < grid_points; ++g) {
        if (heel.holds(g, grid_points)) continue;
        squares += (a[g] - b[g]) * (a[g] - b[g]);
        count += 1.0;
    }
    return std::sqrt(squares / std::max(count, 1.0));
}

}  // namespace

void describe_noise(CurveNoise& noise, const std::vector<CleanSweep>& sweeps, const WeightedRows& rows,
                    const RowWeighing& how, const std::vector<double>& slope,
                    const std::vector<PassOffset>& offsets, bool table) {
    const std::size_t knots = slope.size();
    const double variance = how.sigma_mm * how.sigma_mm;
    const double place_variance = variance / mean_readings_per_place(sweeps);
    const std::vector<char> heel = knots_on(how.heel, knots);
    std::vector<char> flank(knots, 0);
    noise.angle_share.resize(knots);
    for (std::size_t j = 0; j < knots; ++j) {
        const double encoder = encoder_variance(slope[j], how.angle_step_rad);
        noise.angle_share[j] = encoder / (encoder + place_variance);
        flank[j] = static_cast<char>(noise.angle_share[j] > 0.5);
    }
    const double tau_heel = table ? 1.0 : correlation_factor(rows.legs, heel, 1.0);
    noise.factor_front = noise.sigma_front_mm * noise.sigma_front_mm / variance * tau_heel;
    noise.factor_rear = noise.sigma_rear_mm * noise.sigma_rear_mm / variance * tau_heel;
    noise.factor_angle = table ? 1.0 : correlation_factor(rows.legs, flank, evenly_rounded);
    if (table) return;
    // Unless legs say otherwise the rig is taken to wander by a tenth of its noise over a turn.
    noise.usual_walk_mm = wander_share * how.sigma_mm;
    noise.walk = walk_on_curve(rows.legs, sweeps.size());
    noise.walk_seen = walk_evidence(
        rows.legs, sweeps.size(),
        {0.5 * (noise.factor_front + noise.factor_rear), noise.factor_angle, noise.angle_share});
    settle_walk({&noise});
    noise.apart_level_mm = apart_level_mm(noise, sweeps, offsets);
}

void settle_walk(const std::vector<CurveNoise*>& noise) {
    WalkEvidence all;
    double usual = 0.0, lobes = 0.0;
    for (const CurveNoise* one : noise) {
        if (one->walk.stretches == 0) continue;
        all.add(one->walk_seen);
        usual += one->usual_walk_mm;
        lobes += 1.0;
    }
    if (lobes == 0.0) return;
    for (const Wander wander : {Wander::alike, Wander::apart}) {
        const WalkStrength strength = walk_strength(all, wander, usual / lobes);
        for (CurveNoise* one : noise) one->walk_strength[static_cast<std::size_t>(wander)] = strength;
    }
}

double level_scatter_mm(const std::vector<PassOffset>& offsets) {
    if (offsets.size() < 2) return 0.0;
    double squares = 0.0;
    for (const auto& o : offsets) squares += (o.rear[0] - o.front[0]) * (o.rear[0] - o.front[0]);
    const auto n = static_cast<double>(offsets.size());
    return std::sqrt(squares / (n - 1.0) / n);
}

double interpolation_error_mm(const std::vector<CleanSweep>& sweeps, const PeriodicSpline& fine,
                              const GridArc& heel) {
    double worst = 0.0;
    for (const std::size_t parity : {std::size_t{0}, std::size_t{1}}) {
        SplineSystem half(fine.knots(), 2);
        for (const auto& sweep : sweeps) {
            const auto& s = sweep.samples;
            for (std::size_t i = parity; i < s.size(); i += 2) {
                half.add(spline_site(s.angle_rad[i], fine.knots()), 1.0,
                         std::array{s.front_mm[i], s.rear_mm[i]});
            }
        }
        const SplineSolver solver(half, table_lambda(half));
        worst = std::max(worst, differ_on_event(on_grid(solver.fit(half, 0)), on_grid(fine), heel));
    }
    return worst / 16.0;
}

}  // namespace lobewright
