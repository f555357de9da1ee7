#include "rig/check/rig_figures.hpp"

#include <algorithm>
#include <cmath>

#include "rig/check/turned_stretch.hpp"

namespace lobewright {
namespace {

constexpr std::size_t least_at_rest = 8;  // readings, for a standard deviation worth the name
constexpr double deg_per_bin = 360.0 / static_cast<double>(turn_bins);

/// Marks passed without a turning back between them.
void index_figures(std::span<const RigEvent> events, RigFigures& out) {
    std::optional<RigIndex> before;
    std::optional<std::int64_t> count, at_mark;
    int way = 0, way_at_mark = 0;
    bool turned_back = false;
    for (const RigEvent& event : events) {
        if (std::holds_alternative<RigBack>(event)) {
            before.reset();
            count.reset();
            way = 0;
        } else if (const auto* reading = std::get_if<RigReading>(&event)) {
            if (count && reading->count != *count) {
                const int now = reading->count > *count ? 1 : -1;
                turned_back = turned_back || (way != 0 && now != way);
                way = now;
            }
            count = reading->count;
        } else if (const auto* index = std::get_if<RigIndex>(&event)) {
            if (before && !turned_back && way == way_at_mark && way != 0) {
                const std::int64_t step = (index->count - before->count) * way;
                // A mark that was missed makes two turns of one.
                const std::int64_t turns =
                    std::max<std::int64_t>(1, (step + out.counts_per_rev / 2) / out.counts_per_rev);
                out.index_off.push_back(step - turns * out.counts_per_rev);
            } else if (before && way == -way_at_mark && way != 0) {
                const std::int64_t half = out.counts_per_rev / 2;
                std::int64_t apart = (index->count - before->count) % out.counts_per_rev;
                if (apart > half) apart -= out.counts_per_rev;
                if (apart < -half) apart += out.counts_per_rev;
                out.index_width = std::abs(apart);
            }
            before = *index;
            way_at_mark = way;
            turned_back = false;
        }
    }
}

std::optional<double> noise_at_rest(std::span<const RigEvent> events, Side side) {
    double squares = 0.0;
    std::size_t freedom = 0;
    std::vector<double> run;
    std::optional<std::int64_t> count;
    const auto close = [&] {
        if (run.size() >= least_at_rest) {
            double mean = 0.0;
            for (const double value : run) mean += value / static_cast<double>(run.size());
            for (const double value : run) squares += (value - mean) * (value - mean);
            freedom += run.size() - 1;
        }
        run.clear();
    };
    for (const RigEvent& event : events) {
        const auto* const reading = std::get_if<RigReading>(&event);
        if (reading == nullptr) continue;
        if (reading->count != count) close();
        count = reading->count;
        if (const auto value = reading_of(*reading, side)) run.push_back(*value);
    }
    close();
    if (freedom == 0) return std::nullopt;
    return std::sqrt(squares / static_cast<double>(freedom));
}

/// Mean over the degrees that both have of b - a; none with fewer than half of them.
std::optional<double> mean_step(const TurnCurve& a, const TurnCurve& b) {
    double sum = 0.0;
    std::size_t number = 0;
    for (std::size_t bin = 0; bin < turn_bins; ++bin) {
        if (!a[bin] || !b[bin]) continue;
        sum += *b[bin] - *a[bin];
        ++number;
    }
    if (number < turn_bins / 2) return std::nullopt;
    return sum / static_cast<double>(number);
}

/// Spread between turns of one way, each turn's own shift taken off: repeatability apart from drift.
void repeat_figures(const std::vector<TurnCurve>& turns, IndicatorFigures& out) {
    std::vector<TurnCurve> whole;
    for (const TurnCurve& turn : turns) {
        if (mean_step(turn, turn)) whole.push_back(turn);
    }
    if (whole.size() < 2) return;
    const std::optional<double> drift = mean_step(whole.front(), whole.back());
    if (!out.drift_mm || (drift && std::abs(*drift) > std::abs(*out.drift_mm))) out.drift_mm = drift;
    double squares = 0.0;
    std::size_t freedom = 0;
    for (std::size_t i = 1; i < whole.size(); ++i) {
        const std::optional<double> shift = mean_step(whole[i - 1], whole[i]);
        if (!shift) continue;
        for (std::size_t bin = 0; bin < turn_bins; ++bin) {
            if (!whole[i - 1][bin] || !whole[i][bin]) continue;
            const double step = *whole[i][bin] - *whole[i - 1][bin] - *shift;
            squares += step * step / 2.0;  // a difference has twice the variance of a reading
            ++freedom;
        }
    }
    if (freedom == 0) return;
    const double repeat = std::sqrt(squares / static_cast<double>(freedom));
    out.repeat_mm = std::max(out.repeat_mm.value_or(0.0), repeat);
}

struct Parting {
    double hysteresis_mm = 0.0;
    double lag_deg = 0.0;  // b + 2 omega tau
    double deg_per_s = 0.0;
};

/// How far the curves of the two ways part.
std::optional<Parting> parting(const TurnCurve& rising, const TurnCurve& falling, double deg_per_s) {
    double n = 0.0, sx = 0.0, sy = 0.0, sxx = 0.0, sxy = 0.0;
    for (std::size_t bin = 0; bin < turn_bins; ++bin) {
        const std::size_t next = (bin + 1) % turn_bins, last = (bin + turn_bins - 1) % turn_bins;
        if (!rising[bin] || !falling[bin] || !rising[next] || !falling[next] || !rising[last] ||
            !falling[last])
            continue;
        const double slope =
            (*rising[next] + *falling[next] - *rising[last] - *falling[last]) / (4.0 * deg_per_bin);
        const double apart = *rising[bin] - *falling[bin];
        n += 1.0;
        sx += slope;
        sy += apart;
        sxx += slope * slope;
        sxy += slope * apart;
    }
    const double determinant = n * sxx - sx * sx;
    // A round journal has no slope to see a lag by.
    if (n < static_cast<double>(turn_bins) / 2.0 || determinant <= 1e-9 * n * n) return std::nullopt;
    const double slope = (n * sxy - sx * sy) / determinant;
    return Parting{(sy - slope * sx) / n, -slope, deg_per_s};
}

void both_ways(const std::vector<TurnedStretch>& stretches, std::int64_t counts_per_rev, Side side,
               IndicatorFigures& out) {
    std::vector<Parting> partings;
    for (std::size_t i = 1; i < stretches.size(); ++i) {
        const TurnedStretch& a = stretches[i - 1];
        const TurnedStretch& b = stretches[i];
        if (a.direction == b.direction) continue;
        const TurnedStretch& rising = a.direction > 0 ? a : b;
        const TurnedStretch& falling = a.direction > 0 ? b : a;
        const auto found = parting(mean_curve(turn_curves(rising, counts_per_rev, side)),
                                   mean_curve(turn_curves(falling, counts_per_rev, side)),
                                   (a.deg_per_s + b.deg_per_s) / 2.0);
        if (found) partings.push_back(*found);
    }
    if (partings.empty()) return;
    std::sort(partings.begin(), partings.end(),
              [](const Parting& a, const Parting& b) { return a.deg_per_s < b.deg_per_s; });
    const Parting& slow = partings.front();
    const Parting& fast = partings.back();
    out.hysteresis_mm = slow.hysteresis_mm;
    out.lag_deg = slow.lag_deg;
    // Speeds too near each other part nothing from nothing.
    constexpr double least_ratio = 1.5;
    if (slow.deg_per_s <= 0.0 || fast.deg_per_s < least_ratio * slow.deg_per_s) return;
    const double tau_s = (fast.lag_deg - slow.lag_deg) / (2.0 * (fast.deg_per_s - slow.deg_per_s));
    out.latency_us = tau_s * 1e6;
    out.backlash_deg = slow.lag_deg - 2.0 * slow.deg_per_s * tau_s;
}

IndicatorFigures indicator_figures(std::span<const RigEvent> events,
                                   const std::vector<TurnedStretch>& stretches, std::int64_t counts_per_rev,
                                   Side side) {
    IndicatorFigures out;
    out.noise_mm = noise_at_rest(events, side);
    std::optional<double> least, most;
    for (const TurnedStretch& stretch : stretches) {
        for (const RigReading& reading : stretch.readings) {
            const std::optional<double> value = reading_of(reading, side);
            if (!value) continue;
            least = std::min(least.value_or(*value), *value);
            most = std::max(most.value_or(*value), *value);
        }
        repeat_figures(turn_curves(stretch, counts_per_rev, side), out);
    }
    out.there = out.noise_mm.has_value() || least.has_value();
    out.stuck = least && *least == *most;
    both_ways(stretches, counts_per_rev, side, out);
    return out;
}

void count_trouble(const RigTrouble& trouble, RigFigures& out) {
    switch (trouble.kind) {
        case TroubleKind::lines_lost:
            out.lines_lost += trouble.amount;
            break;
        case TroubleKind::line_damaged:
            out.lines_damaged += trouble.amount;
            break;
        case TroubleKind::unplugged:
        case TroubleKind::not_answering:
            ++out.interruptions;
            break;
        case TroubleKind::recording:
            break;  // the disk's, not the rig's
        default:
            ++out.faults;
    }
}

}  // namespace

RigFigures rig_figures(std::span<const RigEvent> events) {
    RigFigures out;
    for (const RigEvent& event : events) {
        if (const auto* back = std::get_if<RigBack>(&event)) {
            out.counts_per_rev = back->counts_per_rev;
            out.step_mm = back->step_mm;
        }
        if (const auto* trouble = std::get_if<RigTrouble>(&event)) count_trouble(*trouble, out);
    }
    if (out.counts_per_rev == 0) return out;
    index_figures(events, out);
    const std::vector<TurnedStretch> stretches = turned_stretches(events, out.counts_per_rev);
    for (const TurnedStretch& stretch : stretches) out.turns += stretch.turns;
    out.front = indicator_figures(events, stretches, out.counts_per_rev, Side::front);
    out.rear = indicator_figures(events, stretches, out.counts_per_rev, Side::rear);
    return out;
}

}  // namespace lobewright
