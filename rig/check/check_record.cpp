#include "rig/check/check_record.hpp"

#include <algorithm>
#include <cstdlib>
#include <type_traits>

namespace lobewright {
namespace {

std::uint64_t at_least_one(std::uint64_t amount) {
    return std::max<std::uint64_t>(1, amount);
}

void tally(TroubleTally& troubles, const RigTrouble& trouble) {
    switch (trouble.kind) {
        case TroubleKind::lines_lost:
            troubles.lines_lost += at_least_one(trouble.amount);
            break;
        case TroubleKind::line_damaged:
            troubles.lines_damaged += at_least_one(trouble.amount);
            break;
        case TroubleKind::range_front:
            ++troubles.range_front;
            break;
        case TroubleKind::range_rear:
            ++troubles.range_rear;
            break;
        case TroubleKind::encoder:
            ++troubles.encoder;
            break;
        case TroubleKind::overrun:
            ++troubles.overrun;
            break;
        case TroubleKind::motor_halted:  // turning by motor is no part of the proof
            break;
        case TroubleKind::not_answering:
            ++troubles.silent;
            break;
        case TroubleKind::restarted:
            ++troubles.restarted;
            break;
        case TroubleKind::unplugged:
            ++troubles.unplugged;
            break;
        case TroubleKind::port_errors:
            troubles.port_errors += at_least_one(trouble.amount);
            break;
        case TroubleKind::recording:
            ++troubles.recording;
            break;
    }
}

void add(CheckRecord& record, const RigBack& back) {
    record.rig = back;
    record.stretches.emplace_back();
}

CheckStretch& open_stretch(CheckRecord& record) {
    if (record.stretches.empty()) record.stretches.emplace_back();
    return record.stretches.back();
}

void add(CheckRecord& record, const RigReading& reading) {
    constexpr double none = std::numeric_limits<double>::quiet_NaN();
    open_stretch(record).points.push_back({reading.t_us, reading.count, reading.front_mm.value_or(none),
                                           reading.rear_mm.value_or(none), reading.doubt_us});
    ++record.readings;
}

void add(CheckRecord& record, const RigIndex& mark) {
    open_stretch(record).marks.push_back(mark);
}

void add(CheckRecord&, const RigIdle&) {}

void add(CheckRecord& record, const RigTrouble& trouble) {
    tally(record.troubles, trouble);
}

}  // namespace

void add_event(CheckRecord& record, const RigEvent& event) {
    std::visit([&](const auto& what) { add(record, what); }, event);
}

CheckRecord record_of(const std::vector<RigEvent>& events) {
    CheckRecord record;
    for (const RigEvent& event : events) add_event(record, event);
    return record;
}

std::vector<OneWay> one_way_parts(const std::vector<CheckPoint>& points, std::int64_t reversal) {
    std::vector<OneWay> parts;
    std::size_t from = 0;
    std::size_t furthest = 0;  // the part's far end so far
    std::size_t low = 0, high = 0;
    int way = 0;  // not known until the cam has moved by `reversal`
    for (std::size_t i = 0; i < points.size(); ++i) {
        const std::int64_t count = points[i].count;
        if (way == 0) {
            if (count < points[low].count) low = i;
            if (count > points[high].count) high = i;
            if (count - points[low].count > reversal) {
                way = 1;
                from = low;
                furthest = i;
            } else if (points[high].count - count > reversal) {
                way = -1;
                from = high;
                furthest = i;
            }
            continue;
        }
        const std::int64_t ahead = way * (count - points[furthest].count);
        if (ahead >= 0) furthest = i;
        if (ahead >= -reversal) continue;
        parts.push_back({from, furthest + 1, way});
        from = furthest;
        furthest = i;
        way = -way;
    }
    if (way != 0) parts.push_back({from, furthest + 1, way});
    return parts;
}

}  // namespace lobewright
