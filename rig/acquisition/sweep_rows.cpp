#include "rig/acquisition/sweep_rows.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>

namespace lobewright {

namespace {

constexpr double most_back_over_return_deg =
    20.0;  // turned back while the rig was away; further is taken for forward

std::int64_t whole_turns_up(std::int64_t lack, std::int64_t rev) {
    const std::int64_t down = lack >= 0 ? lack / rev : -((-lack + rev - 1) / rev);
    return (down * rev == lack ? down : down + 1) * rev;
}

}  // namespace

SweepRows::SweepRows(const SweepPlan& plan) : plan_(plan) {}

std::optional<TrackPoint> SweepRows::add(const SweepRow& row, const CountFrame& frame) {
    Leg& leg = leg_for(row.leg, frame);
    epoch_ = leg.facts.epoch;
    if (!true_angles_ && !begun_count_) begun_count_ = row.count;
    rows_.push_back(row);
    const auto placed = place(row);
    if (!placed) return std::nullopt;
    return TrackPoint{deg(*placed), row.front_mm, row.rear_mm};
}

bool SweepRows::learn(const CountFrame& frame) {
    bool moved = false;
    for (Leg& leg : legs_) {
        const CountLeg& now = frame.leg(leg.ordinal);
        moved = moved || now.zero != leg.facts.zero || now.slipped != leg.facts.slipped;
        leg.facts = now;
    }
    const std::uint32_t epoch = frame.leg(frame.current()).epoch;
    if (epoch != epoch_ &&
        (!true_angles_ || !plan_.index)) {  // what no mark has placed stays without a place
        begun_count_.reset();
        moved = true;
    }
    epoch_ = epoch;
    const bool were_true = true_angles_;
    true_angles_ =
        std::any_of(legs_.begin(), legs_.end(), [](const Leg& leg) { return leg.facts.zero.has_value(); });
    return moved || were_true != true_angles_;
}

void SweepRows::leave_out_unmarked() {
    unmarked_left_out_ = true;
}

bool SweepRows::has_unmarked() const {
    return !unmarked_left_out_ && plan_.index &&
           std::any_of(rows_.begin(), rows_.end(), [&](const SweepRow& row) {
               const Leg* leg = find(row.leg);
               return counts(*leg) && !leg->facts.marked_before;
           });
}

std::vector<TrackPoint> SweepRows::places(bool marked_only) {
    furthest_.reset();
    for (Leg& leg : legs_) leg.turns.reset();
    std::vector<TrackPoint> points;
    points.reserve(rows_.size());
    for (const SweepRow& row : rows_) {
        const auto placed = place(row);
        if (placed && (!marked_only || find(row.leg)->facts.marked_before))
            points.push_back({deg(*placed), row.front_mm, row.rear_mm});
    }
    return points;
}

std::optional<std::size_t> SweepRows::last_leg() const {
    if (rows_.empty()) return std::nullopt;
    return rows_.back().leg;
}

Sweep SweepRows::sweep() const {
    Sweep sweep;
    sweep.of = plan_.of;
    sweep.pass = plan_.pass;
    if (!true_angles_) return sweep;
    std::optional<std::int64_t> begun_us;
    for (const SweepRow& row : rows_) {
        const Leg& leg = *find(row.leg);
        if (!counts(leg)) continue;
        if (!begun_us) begun_us = row.t_us;
        sweep.t_us.push_back(row.t_us - *begun_us);
        sweep.count.push_back(row.count - zero_of(leg) + leg.turns.value_or(0));
        if (!std::isnan(row.front_mm)) sweep.front_mm.push_back(row.front_mm);
        if (!std::isnan(row.rear_mm)) sweep.rear_mm.push_back(row.rear_mm);
    }
    return sweep;
}

std::optional<double> SweepRows::deg_of(std::int64_t count, const CountFrame& frame) const {
    const CountLeg& facts = frame.leg(frame.current());
    const Leg* leg = find(frame.current());
    if (!facts.zero) {
        if (true_angles_ || !begun_count_) return std::nullopt;
        return deg(count - *begun_count_);
    }
    const std::int64_t turns = leg != nullptr ? leg->turns.value_or(0) : 0;
    return deg(count - *facts.zero + turns);
}

SweepRows::Leg& SweepRows::leg_for(std::size_t ordinal, const CountFrame& frame) {
    if (legs_.empty() || legs_.back().ordinal != ordinal) {
        legs_.push_back({.ordinal = ordinal, .facts = frame.leg(ordinal), .turns = std::nullopt});
        true_angles_ = true_angles_ || legs_.back().facts.zero.has_value();
    }
    return legs_.back();
}

const SweepRows::Leg* SweepRows::find(std::size_t ordinal) const {
    const auto found =
        std::lower_bound(legs_.begin(), legs_.end(), ordinal,
                         [](const Leg& leg, std::size_t wanted) { return leg.ordinal < wanted; });
    return found != legs_.end() && found->ordinal == ordinal ? &*found : nullptr;
}

/// Whether the leg's rows have a place.
bool SweepRows::counts(const Leg& leg) const {
    if (leg.facts.slipped || (!plan_.index && leg.facts.epoch != epoch_)) return false;
    if (leg.facts.zero) return leg.facts.marked_before || !unmarked_left_out_ || !plan_.index;
    return !true_angles_ && begun_count_ && leg.facts.epoch == epoch_;
}

std::int64_t SweepRows::zero_of(const Leg& leg) const {
    return leg.facts.zero.value_or(begun_count_.value_or(0));
}

/// The row's count from the mark, whole turns put in.
std::optional<std::int64_t> SweepRows::place(const SweepRow& row) {
    const auto found =
        std::lower_bound(legs_.begin(), legs_.end(), row.leg,
                         [](const Leg& leg, std::size_t wanted) { return leg.ordinal < wanted; });
    Leg& leg = *found;
    if (!counts(leg)) return std::nullopt;
    const std::int64_t bare = row.count - zero_of(leg);
    if (!leg.turns) {
        const auto before = std::find_if(
            std::make_reverse_iterator(found), legs_.rend(),
            [&](const Leg& other) { return other.turns && other.facts.epoch == leg.facts.epoch; });
        leg.turns = 0;
        if (before != legs_.rend()) {
            leg.turns = before->turns;
        } else if (furthest_) {
            const auto back = static_cast<std::int64_t>(most_back_over_return_deg / 360.0 *
                                                        static_cast<double>(plan_.counts_per_rev));
            leg.turns = plan_.direction *
                        whole_turns_up(*furthest_ - back - plan_.direction * bare, plan_.counts_per_rev);
        }
    }
    const std::int64_t placed = bare + *leg.turns;
    furthest_ = std::max(furthest_.value_or(plan_.direction * placed), plan_.direction * placed);
    return placed;
}

double SweepRows::deg(std::int64_t placed) const {
    return plan_.zero_deg +
           plan_.direction * 360.0 * static_cast<double>(placed) / static_cast<double>(plan_.counts_per_rev);
}

}  // namespace lobewright
