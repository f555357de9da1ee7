#include "rig/acquisition/sweep_in_hand.hpp"

#include <algorithm>
#include <cmath>
#include <variant>

#include <fmt/format.h>

namespace lobewright {

namespace {

constexpr std::int64_t speed_over_us =
    300'000;  // long enough for slow devices, short enough to follow a hand
constexpr std::int64_t standing_us = 3'000'000;  // a hand that rests this long has stopped turning
constexpr double look_each_deg = 0.5;            // how often the whole turn is looked through for its end
constexpr double calm = 0.9;                     // of the speed limit: below it the next excess is told anew

std::int64_t time_of(const RigEvent& event) {
    return std::visit([](const auto& e) { return e.t_us; }, event);
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
    if (const auto* idle = std::get_if<RigIdle>(&event)) watch_speed(idle->t_us, idle->count, 0.0);
    if (frame.mark_missed() && !log_.has_open(SweepTroubleKind::no_index))
        log_.tell(SweepTroubleKind::no_index, t_us, std::nullopt);
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
        log_.tell(SweepTroubleKind::slip, t_us, std::nullopt, std::abs(frame.off_by()));
    if (change != FrameChange::begun) log_.mark_went_by();
    const bool were_true = rows_.true_angles();
    const bool had_place = !track_.empty();
    const double first_was = had_place ? track_.points().front().deg : 0.0;
    if (rows_.learn(frame)) {
        rebuild();
        if (!were_true && rows_.true_angles() && had_place && !track_.empty())
            log_.shift(track_.points().front().deg - first_was);
    }
}

void SweepInHand::take_reading(const RigReading& reading, const CountFrame& frame) {
    away_ = false;
    returned_ = frame.leg(frame.current()).epoch > 0;
    watch_speed(reading.t_us, reading.count, reading.doubt_us);
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
    if (front && !reading.front_mm) log_.tell(SweepTroubleKind::front_missing, reading.t_us, here());
    if (rear && !reading.rear_mm) log_.tell(SweepTroubleKind::rear_missing, reading.t_us, here());
    return (!front || reading.front_mm) && (!rear || reading.rear_mm);
}

bool SweepInHand::time_is_good_enough(const RigReading& reading) {
    const double doubt_deg = std::abs(speed_deg_per_s_) * 1e-6 * reading.doubt_us;
    if (doubt_deg <= plan_.most_doubt_deg) return true;
    log_.tell(SweepTroubleKind::time_doubt, reading.t_us, here(), std::llround(1e3 * doubt_deg));
    return false;
}

void SweepInHand::watch_speed(std::int64_t t_us, std::int64_t count, double doubt_us) {
    if (recent_.empty() || recent_.back().count != count) moved_us_ = t_us;
    recent_.push_back({t_us, count, doubt_us});
    while (recent_.size() > 2 && t_us - recent_[1].t_us >= speed_over_us) recent_.pop_front();
    const Recent& then = recent_.front();
    speed_deg_per_s_ = t_us > then.t_us ? plan_.direction * 360.0 * static_cast<double>(count - then.count) /
                                              static_cast<double>(plan_.counts_per_rev) /
                                              (1e-6 * static_cast<double>(t_us - then.t_us))
                                        : 0.0;
    if (!plan_.most_deg_per_s) return;
    const double speed = std::abs(speed_deg_per_s_);
    if (speed > *plan_.most_deg_per_s) {
        if (!fast_) log_.tell(SweepTroubleKind::too_fast, t_us, here(), std::llround(speed));
        fast_ = true;
    } else if (speed < calm * *plan_.most_deg_per_s) {
        fast_ = false;
    }
}

std::optional<double> SweepInHand::fastest_deg_per_s() const {
    std::optional<double> fastest = plan_.most_deg_per_s;
    const auto allow = [&fastest](double deg_per_s) {
        fastest = std::min(fastest.value_or(deg_per_s), deg_per_s);
    };
    double doubt_us = 0.0;
    for (const Recent& recent : recent_) doubt_us = std::max(doubt_us, recent.doubt_us);
    if (doubt_us == 0.0) return fastest;
    allow(plan_.most_doubt_deg / (1e-6 * doubt_us));
    const double over_us = static_cast<double>(recent_.back().t_us - recent_.front().t_us);
    if (over_us > 0.0) allow(plan_.most_gap_deg * static_cast<double>(recent_.size() - 1) / (1e-6 * over_us));
    return fastest;
}

void SweepInHand::follow(const TrackPoint& point, std::int64_t t_us) {
    switch (track_.take(point)) {
        case Step::gap:
            log_.tell(SweepTroubleKind::gap, t_us, Stretch{track_.before_deg(), point.deg});
            break;
        case Step::turned_back:
            log_.tell(SweepTroubleKind::turned_back, t_us,
                      Stretch{track_.furthest_deg(), track_.furthest_deg()});
            break;
        default:
            break;
    }
    if (const auto found = stuck_.take(point)) {
        log_.tell(found->front ? SweepTroubleKind::front_stuck : SweepTroubleKind::rear_stuck, t_us,
                  Stretch{found->from_deg, point.deg});
    }
}

void SweepInHand::take_trouble(const RigTrouble& trouble) {
    if (trouble.kind == TroubleKind::unplugged) away_ = true;
    log_.tell(kind_of(trouble.kind), trouble.t_us, here(), static_cast<std::int64_t>(trouble.amount),
              trouble.says);
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
        log_.tell(SweepTroubleKind::drift, t_us, std::nullopt, std::llround(1e3 * most_mm));
}

bool SweepInHand::is_whole(const TurnTrack& track) const {
    const auto& passes = track.passes();
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

std::vector<std::string> SweepInHand::marks() const {
    std::vector<std::string> marks;
    if (plan_.index && !rows_.true_angles())
        marks.emplace_back("the index mark was never seen: angles unknown");
    const auto& passes = track_.passes();
    const auto missing = missing_stretches(passes);
    if (track_.travel_deg() == 0.0) {
        marks.emplace_back("nothing was read");
    } else {
        for (const Stretch& gap : missing) marks.push_back("gap " + stretch_words(gap.from_deg, gap.to_deg));
    }
    if (missing.empty() && overlap_deg(passes) < plan_.overlap_deg)
        marks.push_back(fmt::format("read twice over {:.0f} of {:.0f} deg only: drift isn't known",
                                    overlap_deg(passes), plan_.overlap_deg));
    for (const SweepTrouble& trouble : log_.lasting()) marks.push_back(trouble_words(trouble));
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
