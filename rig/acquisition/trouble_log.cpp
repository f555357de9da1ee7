#include "rig/acquisition/trouble_log.hpp"

#include <algorithm>

namespace lobewright {

namespace {

constexpr std::int64_t one_trouble_us = 1'000'000;

/// Troubles that leave nothing behind once the turn is whole.
bool turning_puts_right(SweepTroubleKind kind) {
    switch (kind) {
        case SweepTroubleKind::front_stuck:
        case SweepTroubleKind::rear_stuck:
        case SweepTroubleKind::no_index:
        case SweepTroubleKind::encoder:
        case SweepTroubleKind::drift:
        case SweepTroubleKind::recording:
            return false;
        default:
            return true;
    }
}

bool adds_up(SweepTroubleKind kind) {
    return kind == SweepTroubleKind::lines_lost || kind == SweepTroubleKind::lines_damaged ||
           kind == SweepTroubleKind::port_errors;
}

bool each_its_own(SweepTroubleKind kind) {
    return kind == SweepTroubleKind::gap || kind == SweepTroubleKind::turned_back ||
           kind == SweepTroubleKind::slip;
}

/// Whether `now` goes on with what `before` began: what the rig calls out of range it then sends without a figure.
bool goes_on(SweepTroubleKind before, SweepTroubleKind now) {
    return before == now ||
           (now == SweepTroubleKind::front_missing && before == SweepTroubleKind::front_range) ||
           (now == SweepTroubleKind::rear_missing && before == SweepTroubleKind::rear_range);
}

}  // namespace

void TroubleLog::tell(SweepTroubleKind kind, std::int64_t t_us, std::optional<Stretch> where,
                      std::int64_t amount, const std::string& says) {
    const auto found = std::find_if(troubles_.rbegin(), troubles_.rend(), [&](const SweepTrouble& t) {
        return goes_on(t.kind, kind) && t_us - t.last_us <= one_trouble_us;
    });
    if (found == troubles_.rend() || each_its_own(kind)) {
        SweepTrouble& trouble = troubles_.emplace_back();
        trouble.kind = kind;
        trouble.t_us = trouble.last_us = t_us;
        trouble.amount = amount;
        trouble.says = says;
        if (where) trouble.from_deg = where->from_deg;
        if (where) trouble.to_deg = where->to_deg;
        return;
    }
    found->last_us = t_us;
    found->amount = adds_up(kind) ? found->amount + amount : std::max(found->amount, amount);
    if (where && !found->from_deg) found->from_deg = where->from_deg;
    if (where) found->to_deg = std::max(found->to_deg.value_or(where->to_deg), where->to_deg);
}

void TroubleLog::mark_went_by() {
    for (SweepTrouble& trouble : troubles_)
        trouble.put_right = trouble.put_right || trouble.kind == SweepTroubleKind::encoder ||
                            trouble.kind == SweepTroubleKind::no_index;
}

void TroubleLog::shift(double by_deg) {
    for (SweepTrouble& trouble : troubles_) {
        if (!trouble.from_deg) continue;
        *trouble.from_deg += by_deg;
        *trouble.to_deg += by_deg;
    }
}

bool TroubleLog::has_open(SweepTroubleKind kind) const {
    return std::any_of(troubles_.begin(), troubles_.end(),
                       [&](const SweepTrouble& t) { return t.kind == kind && !t.put_right; });
}

std::vector<SweepTrouble> TroubleLog::all(const TurnTrack& track) const {
    std::vector<SweepTrouble> all = troubles_;
    const auto& passes = track.passes();
    const bool whole = missing_stretches(passes).empty();
    for (SweepTrouble& trouble : all) {
        if (trouble.put_right || !turning_puts_right(trouble.kind)) continue;
        const bool is_gap = trouble.kind == SweepTroubleKind::gap;
        trouble.put_right = is_gap ? covers(passes, {*trouble.from_deg, *trouble.to_deg}) : whole;
    }
    return all;
}

std::vector<SweepTrouble> TroubleLog::lasting() const {
    std::vector<SweepTrouble> lasting;
    std::copy_if(troubles_.begin(), troubles_.end(), std::back_inserter(lasting),
                 [](const SweepTrouble& t) { return !t.put_right && !turning_puts_right(t.kind); });
    return lasting;
}

SweepTroubleKind kind_of(TroubleKind kind) {
    switch (kind) {
        case TroubleKind::lines_lost:
            return SweepTroubleKind::lines_lost;
        case TroubleKind::line_damaged:
            return SweepTroubleKind::lines_damaged;
        case TroubleKind::range_front:
            return SweepTroubleKind::front_range;
        case TroubleKind::range_rear:
            return SweepTroubleKind::rear_range;
        case TroubleKind::encoder:
            return SweepTroubleKind::encoder;
        case TroubleKind::overrun:
            return SweepTroubleKind::overrun;
        case TroubleKind::motor_halted:
            return SweepTroubleKind::motor_halted;
        case TroubleKind::restarted:
            return SweepTroubleKind::restarted;
        case TroubleKind::not_answering:
            return SweepTroubleKind::not_answering;
        case TroubleKind::unplugged:
            return SweepTroubleKind::unplugged;
        case TroubleKind::port_errors:
            return SweepTroubleKind::port_errors;
        case TroubleKind::recording:
            return SweepTroubleKind::recording;
    }
    return SweepTroubleKind::recording;
}

}  // namespace lobewright
