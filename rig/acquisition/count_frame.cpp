#include "rig/acquisition/count_frame.hpp"

#include <cstdlib>
#include <variant>

namespace lobewright {

namespace {

constexpr std::int64_t same_way_counts = 1;   // two edges of one pulse, latched to the nearest count
constexpr std::int64_t other_way_counts = 5;  // and one encoder line more: the other edge of the pulse

constexpr std::int64_t jump_of_turn = 360;  // a degree: no hand turns that far between two lines

/// The count in [-rev/2, rev/2).
std::int64_t within_turn(std::int64_t count, std::int64_t rev) {
    const std::int64_t up = ((count % rev) + rev) % rev;
    return 2 * up >= rev ? up - rev : up;
}

}  // namespace

CountFrame::CountFrame(std::int64_t counts_per_rev, int direction, bool index)
    : counts_per_rev_(counts_per_rev), direction_(direction), index_(index) {
    if (!index_) legs_.back().zero = 0;
}

FrameChange CountFrame::take(const RigEvent& event) {
    if (std::holds_alternative<RigBack>(event)) return begin();
    if (const auto* mark = std::get_if<RigIndex>(&event))
        return index_ ? pass_mark(mark->count) : FrameChange::none;
    if (const auto* reading = std::get_if<RigReading>(&event)) follow(reading->count);
    if (const auto* idle = std::get_if<RigIdle>(&event)) follow(idle->count);
    if (const auto* trouble = std::get_if<RigTrouble>(&event)) {
        if (trouble->kind == TroubleKind::encoder) in_doubt_ = true;
    }
    return FrameChange::none;
}

FrameChange CountFrame::begin() {
    const bool nothing_yet = legs_.size() == 1 && !last_;  // the rig's first word of all
    if (!nothing_yet) {
        CountLeg leg;
        leg.epoch = legs_.back().epoch + 1;
        if (!index_) leg.zero = 0;
        legs_.push_back(leg);
    }
    last_.reset();
    leg_from_.reset();
    in_doubt_ = mark_missed_ = backward_ = false;
    return FrameChange::begun;
}

FrameChange CountFrame::pass_mark(std::int64_t count) {
    const bool anew = !absolute() && last_ && std::abs(count - *last_) > counts_per_rev_ / jump_of_turn;
    if (anew) {  // the controller counts from its mark on: what it counted before stays without a place
        begin_leg_at_mark(count, count);
        last_ = count;
        backward_ = false;
        return FrameChange::found;
    }
    follow(count);
    CountLeg& leg = legs_.back();
    if (!leg.zero) {
        if (backward_)
            return FrameChange::none;  // its other edge: not the place that all others are held against
        leg.zero = count;
        begin_leg_at_mark(count, count);
        return FrameChange::found;
    }
    const std::int64_t off = within_turn(count - *leg.zero, counts_per_rev_);
    const bool agrees = std::abs(off) <= (backward_ ? other_way_counts : same_way_counts);
    const std::int64_t zero = *leg.zero + (agrees ? 0 : off);
    leg.marked_after = agrees;
    leg.slipped = !agrees;
    if (!agrees) off_by_ = off;
    begin_leg_at_mark(count, zero);
    return agrees ? FrameChange::agrees : FrameChange::slipped;
}

void CountFrame::begin_leg_at_mark(std::int64_t count, std::int64_t zero) {
    CountLeg leg;
    leg.epoch = legs_.back().epoch;
    leg.zero = zero;
    leg.marked_before = true;
    legs_.push_back(leg);
    leg_from_ = count;
    in_doubt_ = mark_missed_ = false;
}

void CountFrame::follow(std::int64_t count) {
    if (last_ && count != *last_) backward_ = direction_ * (count - *last_) < 0;
    last_ = count;
    if (!leg_from_) leg_from_ = count;
    if (index_ && std::abs(count - *leg_from_) > counts_per_rev_ + other_way_counts) mark_missed_ = true;
}

std::optional<std::int64_t> CountFrame::to_next_mark() const {
    if (!index_ || !last_ || !absolute()) return std::nullopt;
    const std::int64_t past = direction_ * (*last_ - *legs_.back().zero);
    const std::int64_t in_turn = ((past % counts_per_rev_) + counts_per_rev_) % counts_per_rev_;
    return counts_per_rev_ - in_turn;
}

}  // namespace lobewright
