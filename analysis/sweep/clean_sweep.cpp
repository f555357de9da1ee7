#include "analysis/sweep/clean_sweep.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include <Eigen/Core>
#include <fmt/format.h>

#include "analysis/constants.hpp"
#include "analysis/errors.hpp"
#include "analysis/sweep/spikes.hpp"

namespace lobewright {
namespace {

constexpr std::size_t least_samples = 12;  // fewer say nothing about a turn
constexpr double widest_gap_deg = 20.0;    // a hand-taken table every 5 degrees may lack two rows, not more
constexpr double table_order_share =
    0.9;  // in a sweep nearly every step goes one way; a shuffled table's half
constexpr double most_backlash_deg = 1.0;  // of coupling and drive together
constexpr double tremble_deg = 0.1;        // a hand at rest, or a count on its edge, is no turning back
constexpr double table_spacing_deg = 1.0;  // nobody turns a cam through this between two readings of a stream

std::vector<double> angles_of(const Sweep& sweep, const RigInfo& rig) {
    std::vector<double> angle(sweep.rows());
    if (!sweep.by_count()) {
        std::transform(sweep.angle_deg.begin(), sweep.angle_deg.end(), angle.begin(), rad_from_deg);
        return angle;
    }
    const double step = two_pi / static_cast<double>(rig.counts_per_rev.value()) * rig.direction;
    const double zero = rad_from_deg(rig.zero_deg);
    for (std::size_t i = 0; i < angle.size(); ++i)
        angle[i] = zero + step * static_cast<double>(sweep.count[i]);
    return angle;
}

/// A table is what has no clock and no order of turning, or rows as far apart as only a hand writes them
/// down.
bool is_table(const Sweep& sweep, const std::vector<double>& angle) {
    if (!sweep.t_us.empty()) return false;
    std::size_t up = 0, down = 0, wide = 0;
    for (std::size_t i = 1; i < angle.size(); ++i) {
        up += angle[i] >= angle[i - 1];
        down += angle[i] <= angle[i - 1];
        wide += std::abs(angle[i] - angle[i - 1]) > rad_from_deg(table_spacing_deg);
    }
    if (2 * wide > angle.size()) return true;
    const auto ordered = static_cast<double>(std::max(up, down));
    return ordered < table_order_share * static_cast<double>(angle.size() - 1);
}

void append(Samples& to, const Samples& from, std::size_t i) {
    to.angle_rad.push_back(from.angle_rad[i]);
    to.front_mm.push_back(from.front_mm[i]);
    to.rear_mm.push_back(from.rear_mm[i]);
    to.readings.push_back(from.readings[i]);
    if (!from.time_s.empty()) to.time_s.push_back(from.time_s[i]);
}

void reserve(Samples& samples, std::size_t n, bool timed) {
    samples.angle_rad.reserve(n);
    samples.front_mm.reserve(n);
    samples.rear_mm.reserve(n);
    samples.readings.reserve(n);
    if (timed) samples.time_s.reserve(n);
}

Samples all_rows(const Sweep& sweep, std::vector<double> angle) {
    Samples rows;
    rows.angle_rad = std::move(angle);
    rows.front_mm = sweep.front_mm.empty() ? sweep.rear_mm : sweep.front_mm;
    rows.rear_mm = sweep.rear_mm.empty() ? sweep.front_mm : sweep.rear_mm;
    rows.readings.assign(rows.size(), 1.0);
    if (!sweep.t_us.empty()) {
        rows.time_s.resize(rows.size());
        for (std::size_t i = 0; i < rows.size(); ++i) {
            rows.time_s[i] = 1e-6 * static_cast<double>(sweep.t_us[i] - sweep.t_us.front());
        }
    }
    return rows;
}

void sort_by_angle(Samples& rows) {
    std::vector<std::size_t> order(rows.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    for (double& angle : rows.angle_rad) angle -= two_pi * std::floor(angle / two_pi);
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return rows.angle_rad[a] < rows.angle_rad[b]; });
    Samples sorted;
    reserve(sorted, rows.size(), false);
    for (std::size_t i : order) append(sorted, rows, i);
    rows = std::move(sorted);
}

/// Marks the rows in which the cam follows the hand forward. Behind a turn-round the backlash must be taken
/// up first: rows count again a degree further on, or where the cam had been before, whichever comes first.
std::vector<char> rows_that_follow(CleanSweep& out, const std::vector<double>& angle, double sense) {
    const double backlash = rad_from_deg(most_backlash_deg), tremble = rad_from_deg(tremble_deg);
    std::vector<char> follows(angle.size(), 1);
    double furthest = sense * angle[0], lowest = furthest;
    bool engaged = true;
    for (std::size_t i = 1; i < angle.size(); ++i) {
        const double at = sense * angle[i];
        if (engaged && at < furthest - tremble) {
            engaged = false;
            lowest = at;
            ++out.backward_turns;
        }
        if (!engaged) {
            lowest = std::min(lowest, at);
            engaged = at >= std::min(lowest + backlash, furthest);
            follows[i] = static_cast<char>(engaged);
            out.deepest_backward_deg = std::max(out.deepest_backward_deg, deg_from_rad(furthest - lowest));
            if (engaged) furthest = at;
        }
        furthest = std::max(furthest, at);
    }
    return follows;
}

/// Leaves the rows that are marked, column by column in place: no new memory, and no branch to guess wrong.
void keep_rows(Samples& rows, const std::vector<char>& keep) {
    for (auto* column : {&rows.angle_rad, &rows.front_mm, &rows.rear_mm, &rows.readings, &rows.time_s}) {
        if (column->empty()) continue;
        std::size_t out = 0;
        for (std::size_t i = 0; i < keep.size(); ++i) {
            (*column)[out] = (*column)[i];
            out += static_cast<std::size_t>(keep[i] != 0);
        }
        column->resize(out);
    }
}

/// Whether no row lies before the one above it: then all of them count, as in most sweeps.
bool never_turns_back(const std::vector<double>& angle, double sense) {
    const auto steps = static_cast<Eigen::Index>(angle.size()) - 1;
    const Eigen::Map<const Eigen::ArrayXd> before(angle.data(), steps), after(angle.data() + 1, steps);
    return (sense * after >= sense * before).all();
}

/// Keeps a row when the cam follows and no later such row lies before its angle in the sense of turning: the
/// last forward pass. Rows at rest (the same angle as the next) stay. The rest goes to `backward`.
void keep_last_forward_pass(CleanSweep& out, Samples& rows, double sense) {
    const std::size_t n = rows.size();
    if (never_turns_back(rows.angle_rad, sense)) return;
    std::vector<char> keep = rows_that_follow(out, rows.angle_rad, sense);
    double soonest = std::numeric_limits<double>::infinity();
    for (std::size_t i = n; i-- > 0;) {
        if (!keep[i]) continue;
        const double at = sense * rows.angle_rad[i];
        keep[i] = static_cast<char>(at <= soonest);
        soonest = std::min(soonest, at);
    }
    if (std::find(keep.begin(), keep.end(), char{0}) == keep.end()) return;
    for (std::size_t i = 0; i < n; ++i) {
        if (!keep[i]) append(out.backward, rows, i);
    }
    keep_rows(rows, keep);
}

/// Joins neighbouring readings taken at one angle: the encoder error stands in all of them alike, so that
/// many readings of a cam at rest weigh as one place, not as many.
void join_rests(Samples& rows) {
    const std::size_t n = rows.size();
    const bool timed = !rows.time_s.empty();
    const auto rest = std::adjacent_find(rows.angle_rad.begin(), rows.angle_rad.end());
    if (rest == rows.angle_rad.end()) return;
    auto out = static_cast<std::size_t>(rest - rows.angle_rad.begin());
    for (std::size_t i = out; i < n;) {
        std::size_t j = i;
        double count = 0.0, front = 0.0, rear = 0.0, time = 0.0;
        for (; j < n && rows.angle_rad[j] == rows.angle_rad[i]; ++j) {
            count += 1.0;
            front += rows.front_mm[j];
            rear += rows.rear_mm[j];
            if (timed) time += rows.time_s[j];
        }
        rows.angle_rad[out] = rows.angle_rad[i];
        rows.front_mm[out] = front / count;
        rows.rear_mm[out] = rear / count;
        rows.readings[out] = count;
        if (timed) rows.time_s[out] = time / count;
        ++out;
        i = j;
    }
    rows.angle_rad.resize(out);
    rows.front_mm.resize(out);
    rows.rear_mm.resize(out);
    rows.readings.resize(out);
    if (timed) rows.time_s.resize(out);
}

}  // namespace

void take_lean_off(Samples& samples, double lean_rad) {
    if (lean_rad == 0.0) return;
    const double scale = std::cos(lean_rad);
    for (double& reading : samples.front_mm) reading *= scale;
    for (double& reading : samples.rear_mm) reading *= scale;
}

TurnGap largest_gap(std::span<const CleanSweep> sweeps) {
    // A turn may be covered by pieces of several sweeps: mark tenths of a degree.
    constexpr std::size_t bins = 3600;
    std::vector<char> seen(bins, 0);
    for (const auto& sweep : sweeps) {
        double start = std::numeric_limits<double>::quiet_NaN();  // of the tenth that the last row fell into
        for (double a : sweep.samples.angle_rad) {
            const double at = a * (bins / two_pi);
            if (at >= start && at < start + 1.0) continue;
            start = std::floor(at);
            seen[std::min(static_cast<std::size_t>(turn_fraction(a) * bins), bins - 1)] = 1;
        }
    }
    const auto first = static_cast<std::size_t>(std::find(seen.begin(), seen.end(), char{1}) - seen.begin());
    std::size_t run = 0, widest = 0, from = 0;
    for (std::size_t step = 1; step <= bins; ++step) {
        const std::size_t bin = (first + step) % bins;
        if (seen[bin] != 0) {
            run = 0;
        } else if (++run > widest) {
            widest = run;
            from = (bin + bins - run) % bins;
        }
    }
    return {static_cast<double>(from) * 360.0 / bins, static_cast<double>(widest + 1) * 360.0 / bins};
}

void require_whole_turn(const std::string& what, std::span<const CleanSweep> sweeps) {
    // Where one sweep alone covers the turn, as most do, the others needn't be looked at.
    if (std::any_of(sweeps.begin(), sweeps.end(),
                    [](const CleanSweep& sweep) { return sweep.largest_gap_deg <= widest_gap_deg; }))
        return;
    const TurnGap gap = largest_gap(sweeps);
    if (gap.width_deg <= widest_gap_deg) return;
    throw DataError(fmt::format(
        "{}: its sweeps don't cover a turn: nothing from {:.0f} to {:.0f} deg; sweep that stretch", what,
        wrapped_deg(gap.from_deg), wrapped_deg(gap.from_deg + gap.width_deg)));
}

CleanSweep clean_sweep(const Sweep& sweep, const RigInfo& rig) {
    CleanSweep out;
    out.pass = sweep.pass;
    if (sweep.rows() < least_samples) {
        throw DataError(fmt::format("{}: {} rows are too few for a turn of '{}'; sweep it again",
                                    sweep.file.string(), sweep.rows(), sweep.of));
    }
    auto angle = angles_of(sweep, rig);
    out.table = is_table(sweep, angle);
    if (sweep.by_count()) out.angle_step_rad = two_pi / static_cast<double>(rig.counts_per_rev.value());
    const double sense = angle.back() >= angle.front() ? 1.0 : -1.0;
    Samples rows = all_rows(sweep, std::move(angle));
    if (out.table) {
        sort_by_angle(rows);
    } else {
        out.against = sense < 0.0;
        keep_last_forward_pass(out, rows, sense);
    }
    const double step = rig.resolution_mm.value_or(0.0);
    take_spikes_out(rows, step, out.table, out.spikes);
    if (!out.table) join_rests(rows);
    if (rows.size() < least_samples) {
        throw DataError(
            fmt::format("{}: only {} places of '{}' are left after backward turns were taken out; sweep it "
                        "again",
                        sweep.file.string(), rows.size(), sweep.of));
    }
    out.samples = std::move(rows);
    const auto& angle_rad = out.samples.angle_rad;
    out.covered_deg = deg_from_rad(std::abs(angle_rad.back() - angle_rad.front()));
    const TurnGap gap = largest_gap({&out, 1});
    out.largest_gap_deg = gap.width_deg;
    out.gap_from_deg = gap.from_deg;
    return out;
}

}  // namespace lobewright
