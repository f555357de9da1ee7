#include "rig/acquisition/separate_decoder.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include <fmt/format.h>

#include "rig/acquisition/port_trouble.hpp"

namespace lobewright {
namespace {

/// A device that is behind the others by so much has missed what they saw. Half of it would cut off slow indicators (two
/// readings a second); double only delays the telling.
constexpr double longest_wait_us = 1e6;

}  // namespace

SeparateDecoder::SeparateDecoder(const RigDescription& rig, RigListener listener)
    : listener_(std::move(listener)), counts_per_rev_(rig.counts_per_rev) {
    for (const DeviceDescription& device : rig.devices) {
        sources_.emplace_back(device);
        name_ += name_.empty() ? "" : " + ";
        name_ += role_name(device.role);
    }
}

void SeparateDecoder::bytes(std::int64_t host_us, std::string_view port, std::string_view bytes) {
    host_us_ = host_us;
    clock_.at_host(host_us);
    for (Source& source : sources_) {
        if (role_name(source.stream.device().role) != port) continue;
        std::uint64_t bad = 0;
        source.stream.feed(
            host_us, bytes, [this, &source](const TimedReading& reading) { took(source, reading); },
            [&bad] { ++bad; });
        greet();
        join();
        if (bad > 0) {
            listener_(RigTrouble{
                event_us(static_cast<double>(host_us)), TroubleKind::line_damaged, bad,
                fmt::format("{} line{} from {} not as described", bad, bad == 1 ? "" : "s", port)});
        }
    }
}

void SeparateDecoder::note(const CaptureNote& note) {
    host_us_ = note.host_us;
    if (note.event == "unplugged" || note.event == "returned") {
        greeted_ = false;
        for (Source& source : sources_) {
            if (role_name(source.stream.device().role) == note.port) source.stream.reset();
            source.readings.clear();
        }
    }
    if (auto told = port_trouble(note, event_us(static_cast<double>(note.host_us)))) listener_(*told);
}

bool SeparateDecoder::ready() const {
    return std::all_of(sources_.begin(), sources_.end(), [](const Source& s) { return s.stream.answered(); });
}

bool SeparateDecoder::answered(std::string_view port) const {
    return std::any_of(sources_.begin(), sources_.end(), [port](const Source& s) {
        return role_name(s.stream.device().role) == port && s.stream.answered();
    });
}

SeparateDecoder::Source* SeparateDecoder::source(DeviceRole role) {
    const auto found = std::find_if(sources_.begin(), sources_.end(),
                                    [role](const Source& s) { return s.stream.device().role == role; });
    return found == sources_.end() ? nullptr : &*found;
}

void SeparateDecoder::greet() {
    if (greeted_ || !ready()) return;
    greeted_ = true;
    // Nothing can be joined to what came before all were there.
    for (Source& source : sources_) {
        if (source.readings.size() > 1)
            source.readings.erase(source.readings.begin(), source.readings.end() - 1);
    }
    listener_(RigBack{event_us(static_cast<double>(host_us_)), name_, counts_per_rev_, std::nullopt, false});
}

void SeparateDecoder::took(Source& source, const TimedReading& reading) {
    if (!reading.index) {
        source.readings.push_back(reading);
        return;
    }
    if (greeted_) listener_(RigIndex{event_us(reading.host_us), std::llround(reading.value)});
}

std::optional<SeparateDecoder::Joined> SeparateDecoder::at(Source& source, double host_us) {
    std::deque<TimedReading>& readings = source.readings;
    while (readings.size() > 1 && readings[1].host_us <= host_us) readings.pop_front();
    if (readings.empty()) return std::nullopt;
    const TimedReading& before = readings.front();
    if (before.host_us == host_us) return Joined{before.value, before.u_us};
    if (readings.size() < 2 || before.host_us > host_us) return std::nullopt;
    const TimedReading& after = readings[1];
    const double span = after.host_us - before.host_us;
    const double part = (host_us - before.host_us) / span;
    // Turned unevenly between the two: were the speed to change by half, the straight line would be off by an eighth of
    // the span's time at its middle; all values up to that equally likely.
    const double uneven_us =
        before.value == after.value ? 0.0 : 4.0 * part * (1.0 - part) * span / 8.0 / std::sqrt(3.0);
    return Joined{before.value + part * (after.value - before.value),
                  std::hypot(std::max(before.u_us, after.u_us), uneven_us)};
}

void SeparateDecoder::join() {
    Source* const counter = source(DeviceRole::counter);
    Source* const front = source(DeviceRole::front);
    Source* const rear = source(DeviceRole::rear);
    Source& lead = front != nullptr ? *front : *rear;
    Source* const other = front != nullptr ? rear : nullptr;
    forget_old();
    if (!greeted_) return;
    std::uint64_t without_count = 0;
    while (!lead.readings.empty()) {
        const TimedReading reading = lead.readings.front();
        const bool late = static_cast<double>(host_us_) - reading.host_us > longest_wait_us;
        const std::optional<Joined> count = at(*counter, reading.host_us);
        const bool before_all =
            !counter->readings.empty() && counter->readings.front().host_us > reading.host_us;
        if (!count && !late && !before_all) break;
        std::optional<Joined> beside;
        if (other != nullptr) {
            beside = at(*other, reading.host_us);
            const bool other_begins_later =
                !other->readings.empty() && other->readings.front().host_us > reading.host_us;
            if (!beside && !late && !other_begins_later) break;
        }
        lead.readings.pop_front();
        if (!count) {
            without_count += late ? 1 : 0;
            continue;
        }
        RigReading out;
        out.t_us = event_us(reading.host_us);
        out.count = std::llround(count->value);
        (front != nullptr ? out.front_mm : out.rear_mm) = reading.value;
        if (beside) out.rear_mm = beside->value;
        out.doubt_us = std::hypot(reading.u_us, std::max(count->u_us, beside ? beside->u_us : 0.0));
        listener_(out);
    }
    if (without_count > 0) {
        listener_(
            RigTrouble{event_us(static_cast<double>(host_us_)), TroubleKind::lines_lost, without_count,
                       fmt::format("{} readings without a count: the counter says nothing", without_count)});
    }
}

void SeparateDecoder::forget_old() {
    const double old = static_cast<double>(host_us_) - 2.0 * longest_wait_us;
    for (Source& source : sources_) {
        while (source.readings.size() > 2 && source.readings[1].host_us < old) source.readings.pop_front();
    }
}

std::int64_t SeparateDecoder::event_us(double host_us) {
    return clock_.at_host(host_us_) - host_us_ + std::llround(host_us);
}

}  // namespace lobewright
