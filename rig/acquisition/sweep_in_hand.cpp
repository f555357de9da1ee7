#include "rig/acquisition/sweep_in_hand.hpp"

#include <algorithm>
#include <cmath>
#include <variant>

#include <fmt/format.h>

namespace lobewright {

namespace {

constexpr std::int64_t one_trouble_us = 1'000'000;  // what comes again within a second is the same trouble
constexpr std::int64_t speed_over_us =
    300'000;  // long enough for slow devices, short enough to follow a hand
constexpr std::int64_t standing_us = 3'000'000;  // a hand that rests this long has stopped turning
constexpr double look_each_deg = 0.5;            // how often the whole turn is looked through for its end
constexpr double calm = 0.9;                     // of the speed limit: below it the next excess is told anew

std::int64_t time_of(const RigEvent& event) {
    return std::visit([](const auto& e) { return e.t_us; }, event);
}

std::optional<SweepTroubleKind> kind_of(TroubleKind kind) {
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
        case TroubleKind::not_answering:
            return SweepTroubleKind::not_answering;
        case TroubleKind::unplugged:
            return SweepTroubleKind::unplugged;
        case TroubleKind::port_errors:
            return SweepTroubleKind::port_errors;
        case TroubleKind::recording:
            return SweepTroubleKind::recording;
    }
    return std::nullopt;
}

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

double or_nan(const std::optional<double>& figure) {
    return figure.value_or(std::numeric_limits<double>::quiet_NaN());
}

}  // namespace

SweepInHand::SweepInHand(SweepPlan plan)
    : plan_(std::move(plan)), rows_(plan_), track_(plan_.most_gap_deg, plan_.most_back_deg) {}

void SweepInHand::take(const RigEvent& event, const CountFrame& frame, FrameChange change) {
    if (done_) return;
    const std::int64_t t_us = time_of(event);
    take_change(t_us, frame, change);
    if (const auto* reading = std::get_if<RigReading>(&event)) take_reading(*reading, frame);
    if (const auto* trouble = std::get_if<RigTrouble>(&event)) take_trouble(*trouble);
    if (const auto* idle = std::get_if<RigIdle>(&event)) watch_speed(idle->t_us, idle->count);
    if (frame.mark_missed() && std::none_of(troubles_.begin(), troubles_.end(), [](const SweepTrouble& t) {
            return t.kind == SweepTroubleKind::no_index && !t.put_right;
        }))
        tell(SweepTroubleKind::no_index, t_us, std::nullopt);
    look_for_the_end(t_us);
}

void SweepInHand::take_change(std::int64_t t_us, const CountFrame& frame, FrameChange change) {
    if (change == FrameChange::none) return;
    if (change == FrameChange::begun) {
        away_ = false;
        recent_.clear();
        angle_deg_.reset();
    }
    if (change == FrameChange::slipped)
        tell(SweepTroubleKind::slip, t_us, std::nullopt, std::abs(frame.off_by()));
    if (change != FrameChange::begun) {
        for (SweepTrouble& trouble : troubles_)
            trouble.put_right = trouble.put_right || trouble.kind == SweepTroubleKind::encoder ||
                                trouble.kind == SweepTroubleKind::no_index;
    }
    const bool were_true = rows_.true_angles();
    const bool had_place = !track_.empty();
    const double first_was = had_place ? track_.points().front().deg : 0.0;
    if (rows_.learn(frame)) {
        rebuild();
        if (!were_true && rows_.true_angles() && had_place && !track_.empty()) {
            const double shift = track_.points().front().deg - first_was;
            for (SweepTrouble& trouble : troubles_) {
                if (!trouble.from_deg) continue;
                *trouble.from_deg += shift;
                *trouble.to_deg += shift;
            }
        }
    }
}

void SweepInHand::take_reading(const RigReading& reading, const CountFrame& frame) {
    away_ = false;
    returned_ = frame.leg(frame.current()).epoch > 0;
    watch_speed(reading.t_us, reading.count);
    front_mm_ = reading.front_mm;
    rear_mm_ = reading.rear_mm;
    const auto deg = rows_.deg_of(reading.count, frame);
    if (deg) angle_deg_ = deg;
    if (!figures_are_there(reading) || !time_is_good_enough(reading)) return;
    const double front_mm = columns_ && !columns_->first ? or_nan({}) : or_nan(reading.front_mm);
    const double rear_mm = columns_ && !columns_->second ? or_nan({}) : or_nan(reading.rear_mm);
    const auto point = rows_.add({frame.current(), reading.t_us, reading.count, front_mm, rear_mm}, frame);
    if (!point) return;
    angle_deg_ = point->deg;
    follow(*point, reading.t_us);
}

/// A lobe needs both figures; a journal those that its first reading had.
bool SweepInHand::figures_are_there(const RigReading& reading) {
    if (plan_.journal && !columns_) {
        if (!reading.front_mm && !reading.rear_mm) return false;
        columns_ = {reading.front_mm.has_value(), reading.rear_mm.has_value()};
    }
    const auto [front, rear] = columns_.value_or(std::pair(true, true));
    if (front && !reading.front_mm) tell(SweepTroubleKind::front_missing, reading.t_us, here());
    if (rear && !reading.rear_mm) tell(SweepTroubleKind::rear_missing, reading.t_us, here());
    return (!front || reading.front_mm) && (!rear || reading.rear_mm);
}

bool SweepInHand::time_is_good_enough(const RigReading& reading) {
    const double doubt_deg = std::abs(speed_deg_per_s_) * 1e-6 * reading.doubt_us;
    if (doubt_deg <= plan_.most_doubt_deg) return true;
    tell(SweepTroubleKind::time_doubt, reading.t_us, here(), std::llround(1e3 * doubt_deg));
    return false;
}

void SweepInHand::watch_speed(std::int64_t t_us, std::int64_t count) {
    if (recent_.empty() || recent_.back().second != count) moved_us_ = t_us;
    recent_.emplace_back(t_us, count);
    while (recent_.size() > 2 && t_us - recent_[1].first >= speed_over_us) recent_.pop_front();
    const auto [then_us, then] = recent_.front();
    speed_deg_per_s_ = t_us > then_us ? plan_.direction * 360.0 * static_cast<double>(count - then) /
                                            static_cast<double>(plan_.counts_per_rev) /
                                            (1e-6 * static_cast<double>(t_us - then_us))
                                      : 0.0;
    if (!plan_.most_deg_per_s) return;
    const double speed = std::abs(speed_deg_per_s_);
    if (speed > *plan_.most_deg_per_s) {
        if (!fast_) tell(SweepTroubleKind::too_fast, t_us, here(), std::llround(speed));
        fast_ = true;
    } else if (speed < calm * *plan_.most_deg_per_s) {
        fast_ = false;
    }
}

void SweepInHand::follow(const TrackPoint& point, std::int64_t t_us) {
    switch (track_.take(point)) {
        case Step::gap:
            tell(SweepTroubleKind::gap, t_us, Stretch{track_.before_deg(), point.deg});
            break;
        case Step::turned_back:
            tell(SweepTroubleKind::turned_back, t_us, Stretch{track_.furthest_deg(), track_.furthest_deg()});
            break;
        default:
            break;
    }
    if (const auto found = stuck_.take(point)) {
        tell(found->front ? SweepTroubleKind::front_stuck : SweepTroubleKind::rear_stuck, t_us,
             Stretch{found->from_deg, point.deg});
    }
}

void SweepInHand::take_trouble(const RigTrouble& trouble) {
    const auto kind = kind_of(trouble.kind);
    if (!kind) return;
    if (*kind == SweepTroubleKind::unplugged) away_ = true;
    tell(*kind, trouble.t_us, here(), static_cast<std::int64_t>(trouble.amount), trouble.says);
}

void SweepInHand::rebuild() {
    track_ = TurnTrack(plan_.most_gap_deg, plan_.most_back_deg);
    for (const TrackPoint& point : rows_.places()) track_.take(point);
    if (!track_.empty()) angle_deg_ = track_.points().back().deg;
    looked_at_deg_ = 0.0;
    enough_ = false;
}

void SweepInHand::look_for_the_end(std::int64_t t_us) {
    const double travel_deg = track_.travel_deg();
    if (travel_deg >= 360.0 && travel_deg >= looked_at_deg_ + look_each_deg) {
        looked_at_deg_ = travel_deg;
        enough_ = (rows_.true_angles() || !plan_.index) && is_whole(track_);
        if (enough_ && rows_.has_unmarked()) leave_out_unmarked_if_whole();
    }
    if (!enough_ || away_) return;
    const bool stands = moved_us_ && t_us - *moved_us_ >= standing_us;
    if (rows_.has_unmarked() && !stands) return;
    done_ = true;
    const TurnDrift drift = track_.drift();
    const double most_mm = std::max(std::isnan(drift.front_mm) ? 0.0 : std::abs(drift.front_mm),
                                    std::isnan(drift.rear_mm) ? 0.0 : std::abs(drift.rear_mm));
    if (most_mm > plan_.most_drift_mm)
        tell(SweepTroubleKind::drift, t_us, std::nullopt, std::llround(1e3 * most_mm));
}

bool SweepInHand::is_whole(const TurnTrack& track) const {
    const auto passes = track.passes();
    return missing_stretches(passes).empty() && overlap_deg(passes) >= plan_.overlap_deg;
}

/// Once the turn is whole between marks, rows before the first mark aren't needed; lost counts there could not be seen.
void SweepInHand::leave_out_unmarked_if_whole() {
    TurnTrack marked(plan_.most_gap_deg, plan_.most_back_deg);
    for (const TrackPoint& point : rows_.places(true)) marked.take(point);
    if (!is_whole(marked)) return;
    rows_.leave_out_unmarked();
    rebuild();
    enough_ = true;
}

std::optional<Stretch> SweepInHand::here() const {
    if (!angle_deg_) return std::nullopt;
    return Stretch{*angle_deg_, *angle_deg_};
}

/// Adds the trouble, or what is new of it to the same trouble a moment ago.
void SweepInHand::tell(SweepTroubleKind kind, std::int64_t t_us, std::optional<Stretch> where,
                       std::int64_t amount, const std::string& says) {
    const auto same = [&](const SweepTrouble& t) {
        // What the rig calls out of range it then sends without a figure: one trouble, not two.
        const bool range =
            (kind == SweepTroubleKind::front_missing && t.kind == SweepTroubleKind::front_range) ||
            (kind == SweepTroubleKind::rear_missing && t.kind == SweepTroubleKind::rear_range);
        return (t.kind == kind || range) && t_us - t.last_us <= one_trouble_us;
    };
    const auto found = std::find_if(troubles_.rbegin(), troubles_.rend(), same);
    const bool each_its_own = kind == SweepTroubleKind::gap || kind == SweepTroubleKind::turned_back ||
                              kind == SweepTroubleKind::slip;
    if (found == troubles_.rend() || each_its_own) {
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
    const bool adds_up = kind == SweepTroubleKind::lines_lost || kind == SweepTroubleKind::lines_damaged ||
                         kind == SweepTroubleKind::port_errors;
    found->amount = adds_up ? found->amount + amount : std::max(found->amount, amount);
    if (where && !found->from_deg) found->from_deg = where->from_deg;
    if (where) found->to_deg = std::max(found->to_deg.value_or(where->to_deg), where->to_deg);
}

std::vector<SweepTrouble> SweepInHand::troubles() const {
    std::vector<SweepTrouble> all = troubles_;
    const auto passes = track_.passes();
    const bool whole = missing_stretches(passes).empty();
    for (SweepTrouble& trouble : all) {
        if (trouble.put_right || !turning_puts_right(trouble.kind)) continue;
        const bool has_place = trouble.from_deg && trouble.kind == SweepTroubleKind::gap;
        trouble.put_right = has_place ? covers(passes, {*trouble.from_deg, *trouble.to_deg}) : whole;
    }
    return all;
}

std::vector<std::string> SweepInHand::marks() const {
    std::vector<std::string> marks;
    if (plan_.index && !rows_.true_angles())
        marks.emplace_back("the index mark was never seen: angles unknown");
    const auto passes = track_.passes();
    const auto missing = missing_stretches(passes);
    if (track_.travel_deg() == 0.0) {
        marks.emplace_back("nothing was read");
    } else {
        for (const Stretch& gap : missing) marks.push_back("gap " + stretch_words(gap.from_deg, gap.to_deg));
    }
    if (missing.empty() && overlap_deg(passes) < plan_.overlap_deg)
        marks.push_back(fmt::format("read twice over {:.0f} of {:.0f} deg only: drift isn't known",
                                    overlap_deg(passes), plan_.overlap_deg));
    for (const SweepTrouble& trouble : troubles_)
        if (!trouble.put_right && !turning_puts_right(trouble.kind)) marks.push_back(trouble_words(trouble));
    return marks;
}

std::vector<std::string> SweepInHand::notes() const {
    std::vector<std::string> notes;
    if (rows_.true_angles() && rows_.has_unmarked())
        notes.emplace_back("begun before the rig's first index mark: lost counts there could not be seen");
    if (!plan_.index && returned_)
        notes.emplace_back(
            "the rig was away and has no index mark: these angles don't line up with earlier sweeps'");
    return notes;
}

}  // namespace lobewright
