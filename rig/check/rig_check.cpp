#include "rig/check/rig_check.hpp"

#include <algorithm>
#include <cmath>

#include "analysis/errors.hpp"

namespace lobewright {
namespace {

/// The passes of the stretch that has most of them.
TurnPasses best_passes(const CheckRecord& record, Indicator which, std::int64_t counts_per_rev) {
    TurnPasses best;
    for (const CheckStretch& stretch : record.stretches) {
        TurnPasses here = turn_passes(stretch, which, counts_per_rev);
        if (here.passes.size() > best.passes.size()) best = std::move(here);
    }
    return best;
}

IndicatorCheck check_indicator(const CheckRecord& record, Indicator which, std::int64_t counts_per_rev) {
    IndicatorCheck check;
    check.which = which;
    double low = 0.0, high = 0.0;
    for (const CheckStretch& stretch : record.stretches) {
        for (const CheckPoint& point : stretch.points) {
            const double mm = point.at(which);
            if (std::isnan(mm)) continue;
            low = check.seen ? std::min(low, mm) : mm;
            high = check.seen ? std::max(high, mm) : mm;
            check.seen = true;
        }
    }
    if (!check.seen) return check;
    check.travel_mm = high - low;
    const TurnPasses passes = best_passes(record, which, counts_per_rev);
    check.noise = check_noise(record, passes, which, counts_per_rev);
    check.stuck = check_stuck(record, which, counts_per_rev);
    if (passes.passes.empty()) return check;
    check.both_ways = check_both_ways(passes);
    check.repeat = check_repeat(passes);
    return check;
}

double median_doubt_us(const CheckRecord& record) {
    std::vector<double> doubts;
    for (const CheckStretch& stretch : record.stretches)
        for (const CheckPoint& point : stretch.points) doubts.push_back(point.doubt_us);
    if (doubts.empty()) return 0.0;
    const auto middle = doubts.begin() + static_cast<std::ptrdiff_t>(doubts.size() / 2);
    std::nth_element(doubts.begin(), middle, doubts.end());
    return *middle;
}

/// The way of the first part that went round once.
int first_way(const CheckRecord& record, std::int64_t counts_per_rev) {
    for (const CheckStretch& stretch : record.stretches)
        for (const OneWay& part : one_way_parts(stretch.points, reversal_counts(counts_per_rev)))
            if (std::abs(stretch.points[part.to - 1].count - stretch.points[part.from].count) >=
                counts_per_rev)
                return part.way;
    return 0;
}

std::optional<double> resolution_mm(const RigCheck& check, const RigBack& rig) {
    if (rig.step_mm) return rig.step_mm;
    std::optional<double> step;
    for (const IndicatorCheck& one : check.indicators)
        if (one.noise.step_mm) step = std::max(step.value_or(0.0), *one.noise.step_mm);
    return step;
}

}  // namespace

RigCheck check_rig(const CheckRecord& record) {
    if (!record.rig || record.rig->counts_per_rev <= 0)
        throw DataError("the rig doesn't say how many counts a turn has: give counts_per_rev in rig.toml");
    RigCheck check;
    check.name = record.rig->name;
    check.counts_per_rev = record.rig->counts_per_rev;
    check.direction = first_way(record, check.counts_per_rev);
    check.readings = record.readings;
    check.doubt_us = median_doubt_us(record);
    check.troubles = record.troubles;
    check.index = check_index(record, check.counts_per_rev);
    for (const Indicator which : both_indicators)
        check.indicators[static_cast<std::size_t>(which)] =
            check_indicator(record, which, check.counts_per_rev);
    check.resolution_mm = resolution_mm(check, *record.rig);
    check.rows = check_rows(check);
    const auto any = [&](CheckVerdict verdict) {
        return std::any_of(check.rows.begin(), check.rows.end(),
                           [&](const CheckRow& row) { return row.verdict == verdict; });
    };
    check.verdict = any(CheckVerdict::look)      ? CheckVerdict::look
                    : any(CheckVerdict::unknown) ? CheckVerdict::unknown
                                                 : CheckVerdict::pass;
    return check;
}

}  // namespace lobewright
