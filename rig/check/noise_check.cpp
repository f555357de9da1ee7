#include "rig/check/noise_check.hpp"

#include <algorithm>
#include <cmath>
#include <set>
#include <vector>

#include "rig/check/student.hpp"

namespace lobewright {
namespace {

constexpr double us_per_min = 60e6;
constexpr std::int64_t dither_counts = 2;  // a rest may dither over an encoder's edge
constexpr std::int64_t shortest_rest_us = 2'000'000;
constexpr std::size_t least_readings = 20;  // in a rest, or second differences: a deviation to a sixth
constexpr std::size_t drift_blocks = 10;
constexpr std::size_t noise_sectors = 36;

struct Line {
    double mean_min = 0.0, mean_mm = 0.0, slope = 0.0, spread = 0.0, residual_squares = 0.0;
};

Line fit_line(const std::vector<double>& minutes, const std::vector<double>& mm) {
    Line line;
    const auto n = static_cast<double>(mm.size());
    for (std::size_t i = 0; i < mm.size(); ++i) {
        line.mean_min += minutes[i] / n;
        line.mean_mm += mm[i] / n;
    }
    double along = 0.0;
    for (std::size_t i = 0; i < mm.size(); ++i) {
        line.spread += (minutes[i] - line.mean_min) * (minutes[i] - line.mean_min);
        along += (minutes[i] - line.mean_min) * (mm[i] - line.mean_mm);
    }
    if (line.spread > 0.0) line.slope = along / line.spread;
    for (std::size_t i = 0; i < mm.size(); ++i) {
        const double left = mm[i] - line.mean_mm - line.slope * (minutes[i] - line.mean_min);
        line.residual_squares += left * left;
    }
    return line;
}

/// Slope through the means of ten blocks: readings that hang together over a block don't feign certainty.
Measured drift_of(const std::vector<double>& minutes, const std::vector<double>& mm) {
    std::vector<double> block_min(drift_blocks), block_mm(drift_blocks);
    for (std::size_t b = 0; b < drift_blocks; ++b) {
        const std::size_t from = b * mm.size() / drift_blocks, to = (b + 1) * mm.size() / drift_blocks;
        for (std::size_t i = from; i < to; ++i) {
            block_min[b] += minutes[i] / static_cast<double>(to - from);
            block_mm[b] += mm[i] / static_cast<double>(to - from);
        }
    }
    const Line line = fit_line(block_min, block_mm);
    const double freedom = static_cast<double>(drift_blocks) - 2.0;
    return {line.slope, t95(freedom) * std::sqrt(line.residual_squares / freedom / line.spread)};
}

Measured deviation_of(double squares, double freedom) {
    const double deviation = std::sqrt(squares / freedom);
    return {deviation, 1.96 * deviation / std::sqrt(2.0 * freedom)};
}

struct Rests {
    double squares = 0.0, freedom = 0.0, longest_min = 0.0;
    std::uint64_t readings = 0;
    Measured drift;
};

void add_rest(Rests& rests, const std::vector<double>& minutes, const std::vector<double>& mm) {
    if (mm.size() < least_readings || minutes.back() - minutes.front() < shortest_rest_us / us_per_min)
        return;
    const Line line = fit_line(minutes, mm);
    rests.squares += line.residual_squares;
    rests.freedom += static_cast<double>(mm.size()) - 2.0;
    rests.readings += mm.size();
    if (minutes.back() - minutes.front() <= rests.longest_min) return;
    rests.longest_min = minutes.back() - minutes.front();
    rests.drift = drift_of(minutes, mm);
}

Rests find_rests(const CheckRecord& record, Indicator which) {
    Rests rests;
    for (const CheckStretch& stretch : record.stretches) {
        std::vector<double> minutes, mm;
        std::int64_t low = 0, high = 0;
        for (const CheckPoint& point : stretch.points) {
            if (std::isnan(point.at(which))) continue;
            if (!mm.empty() && std::max(high, point.count) - std::min(low, point.count) > dither_counts) {
                add_rest(rests, minutes, mm);
                minutes.clear();
                mm.clear();
            }
            low = mm.empty() ? point.count : std::min(low, point.count);
            high = mm.empty() ? point.count : std::max(high, point.count);
            minutes.push_back(static_cast<double>(point.t_us) / us_per_min);
            mm.push_back(point.at(which));
        }
        add_rest(rests, minutes, mm);
    }
    return rests;
}

bool heel_at(const TurnPasses& passes, std::int64_t count, std::int64_t cpr) {
    const std::int64_t in_turn = (count % cpr + cpr) % cpr;
    return on_heel(passes,
                   static_cast<std::size_t>(in_turn * static_cast<std::int64_t>(passes.bins()) / cpr));
}

void noise_on_heel(NoiseCheck& check, const CheckRecord& record, const TurnPasses& passes, Indicator which,
                   std::int64_t cpr) {
    double squares = 0.0;
    std::uint64_t found = 0;
    for (const CheckStretch& stretch : record.stretches) {
        const auto& points = stretch.points;
        for (std::size_t i = 2; i < points.size(); ++i) {
            const std::int64_t step = points[i].count - points[i - 1].count;
            const double second =
                points[i].at(which) - 2.0 * points[i - 1].at(which) + points[i - 2].at(which);
            if (step == 0 || step != points[i - 1].count - points[i - 2].count ||
                std::abs(step) > cpr / 360 || std::isnan(second) || !heel_at(passes, points[i].count, cpr))
                continue;
            squares += second * second;
            ++found;
        }
    }
    if (found < least_readings) return;
    check.from = NoiseFrom::heel;
    check.readings = found;
    const auto n = static_cast<double>(found);
    check.deviation_mm = deviation_of(squares / 6.0 * (18.0 / 35.0), n * 18.0 / 35.0);
}

/// How far the heel's mean moved from the first turn to the last one the same way, sector by sector of ten degrees: what
/// hangs together within a sector is one witness.
Measured drift_between_turns(const TurnPasses& passes) {
    const TurnPass *first = nullptr, *last = nullptr;
    for (const TurnPass& one : passes.passes)
        for (const TurnPass& other : passes.passes)
            if (one.way == other.way && other.middle_us > one.middle_us &&
                (first == nullptr || other.middle_us - one.middle_us > last->middle_us - first->middle_us)) {
                first = &one;
                last = &other;
            }
    if (first == nullptr) return {};
    std::vector<double> moved;
    for (std::size_t s = 0; s < noise_sectors; ++s) {
        double sum = 0.0;
        int bins = 0;
        for (std::size_t i = s * passes.bins() / noise_sectors; i < (s + 1) * passes.bins() / noise_sectors;
             ++i) {
            if (!on_heel(passes, i)) continue;
            sum += last->bins[i].mm - first->bins[i].mm;
            ++bins;
        }
        if (bins > 0) moved.push_back(sum / bins);
    }
    if (moved.size() < 3) return {};
    const auto n = static_cast<double>(moved.size());
    double mean = 0.0, squares = 0.0;
    for (const double one : moved) mean += one / n;
    for (const double one : moved) squares += (one - mean) * (one - mean);
    const double minutes = static_cast<double>(last->middle_us - first->middle_us) / us_per_min;
    return {mean / minutes, t95(n - 1.0) * std::sqrt(squares / (n - 1.0) / n) / minutes};
}

std::optional<double> smallest_step(const CheckRecord& record, Indicator which) {
    constexpr double same = 1e-9;  // what is left of a step after the arithmetic from text to millimetres
    std::set<double> seen;
    for (const CheckStretch& stretch : record.stretches)
        for (const CheckPoint& point : stretch.points)
            if (!std::isnan(point.at(which))) seen.insert(point.at(which));
    std::optional<double> step;
    const double* before = nullptr;
    for (const double& value : seen) {
        if (before != nullptr && value - *before > same && (!step || value - *before < *step))
            step = value - *before;
        before = &value;
    }
    return step;
}

}  // namespace

NoiseCheck check_noise(const CheckRecord& record, const TurnPasses& passes, Indicator which,
                       std::int64_t counts_per_rev) {
    NoiseCheck check;
    check.step_mm = smallest_step(record, which);
    const Rests rests = find_rests(record, which);
    if (rests.readings > 0) {
        check.from = NoiseFrom::rest;
        check.readings = rests.readings;
        check.deviation_mm = deviation_of(rests.squares, rests.freedom);
        check.drift_mm_per_min = rests.drift;
    }
    if (passes.passes.empty()) return check;
    if (rests.readings == 0) noise_on_heel(check, record, passes, which, counts_per_rev);
    const Measured turned = drift_between_turns(passes);
    const bool better = !check.drift_mm_per_min.known() || turned.u95 < check.drift_mm_per_min.u95;
    if (turned.known() && better) check.drift_mm_per_min = turned;
    return check;
}

StuckCheck check_stuck(const CheckRecord& record, Indicator which, std::int64_t counts_per_rev) {
    constexpr double told_mm = 0.05;
    const Indicator other = which == Indicator::front ? Indicator::rear : Indicator::front;
    StuckCheck check;
    for (const CheckStretch& stretch : record.stretches) {
        double stands = std::nan(""), low = 0.0, high = 0.0, least = 0.0, most = 0.0;
        std::int64_t since = 0;
        bool any = false;
        for (const CheckPoint& point : stretch.points) {
            const double here = point.at(which), there = point.at(other);
            if (std::isnan(here) || std::isnan(there)) continue;
            least = any ? std::min(least, there) : there;
            most = any ? std::max(most, there) : there;
            any = true;
            if (here != stands) {
                stands = here;
                since = point.count;
                low = high = there;
            }
            low = std::min(low, there);
            high = std::max(high, there);
            if (high - low <= check.other_moved_mm) continue;
            check.other_moved_mm = high - low;
            const std::int64_t in_turn = (since % counts_per_rev + counts_per_rev) % counts_per_rev;
            check.at_deg = 360.0 * static_cast<double>(in_turn) / static_cast<double>(counts_per_rev);
        }
        check.judged = check.judged || most - least > told_mm;
    }
    check.stuck = check.other_moved_mm > told_mm;
    return check;
}

}  // namespace lobewright
