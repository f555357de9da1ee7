// check_record.hpp: what a rig told while it was being proved, sorted: readings, index marks and a tally of troubles. A
// return after an unplug or a reset makes counts void, so each return opens a new stretch of record.
#pragma once

#include <cstdint>
#include <limits>
#include <optional>
#include <vector>

#include "rig/acquisition/rig_event.hpp"

namespace lobewright {

/// The two indicators, where a figure exists once for each.
enum class Indicator { front, rear };
inline constexpr Indicator both_indicators[] = {Indicator::front, Indicator::rear};

struct CheckPoint {
    std::int64_t t_us = 0;
    std::int64_t count = 0;
    double front_mm = std::numeric_limits<double>::quiet_NaN();  // NaN: none
    double rear_mm = std::numeric_limits<double>::quiet_NaN();
    double doubt_us = 0.0;
    [[nodiscard]] double at(Indicator which) const { return which == Indicator::front ? front_mm : rear_mm; }
};

/// Points and marks whose counts belong together.
struct CheckStretch {
    std::vector<CheckPoint> points;
    std::vector<RigIndex> marks;
};

/// How often each trouble was told; lines and errors by their amount.
struct TroubleTally {
    std::uint64_t lines_lost = 0;
    std::uint64_t lines_damaged = 0;
    std::uint64_t range_front = 0;
    std::uint64_t range_rear = 0;
    std::uint64_t encoder = 0;
    std::uint64_t overrun = 0;
    std::uint64_t silent = 0;
    std::uint64_t unplugged = 0;
    std::uint64_t restarted = 0;
    std::uint64_t port_errors = 0;
    std::uint64_t recording = 0;
};

struct CheckRecord {
    std::optional<RigBack> rig;  // as it last said of itself
    std::vector<CheckStretch> stretches;
    TroubleTally troubles;
    std::uint64_t readings = 0;
};

/// Takes one event after another into the record.
void add_event(CheckRecord& record, const RigEvent& event);

CheckRecord record_of(const std::vector<RigEvent>& events);

/// Points [from, to) of a stretch that were passed in one way: +1 with rising counts, -1 with falling ones.
struct OneWay {
    std::size_t from = 0;
    std::size_t to = 0;
    int way = 1;
};

/// A reversal smaller than this opens no new pass: a hand rocks a little, a coupling has play.
constexpr std::int64_t reversal_counts(std::int64_t counts_per_rev) {
    return counts_per_rev / 180 > 4 ? counts_per_rev / 180 : 4;
}

/// The stretch cut wherever the hand turned back by more than `reversal` counts.
std::vector<OneWay> one_way_parts(const std::vector<CheckPoint>& points, std::int64_t reversal);

}  // namespace lobewright
