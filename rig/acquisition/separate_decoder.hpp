// separate_decoder.hpp: a counter and one or two indicators that know nothing of each other, to the events of one rig. Each
// reading of the front indicator (of the rear one where there is no front) is given the count, and the other indicator's
// reading, at its own moment, by interpolation between the two that lie around it; doubt_us says how well those moments
// are known of each other.
#pragma once

#include <cstdint>
#include <deque>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "rig/acquisition/device_stream.hpp"
#include "rig/acquisition/event_clock.hpp"
#include "rig/acquisition/rig_listener.hpp"

namespace lobewright {

class SeparateDecoder {
public:
    /// Throws DataError for a pattern that isn't one.
    SeparateDecoder(const RigDescription& rig, RigListener listener);

    void bytes(std::int64_t host_us, std::string_view port, std::string_view bytes);
    void note(const CaptureNote& note);
    [[nodiscard]] bool ready() const;
    [[nodiscard]] bool answered(std::string_view port) const;

private:
    struct Source {
        explicit Source(DeviceDescription device) : stream(std::move(device)) {}
        DeviceStream stream;
        std::deque<TimedReading> readings;  // the last before what is to be joined, and all behind it
    };
    struct Joined {
        double value = 0.0;
        double u_us = 0.0;
    };

    Source* source(DeviceRole role);
    void took(Source& source, const TimedReading& reading);
    void join();
    /// What nothing will be joined to any more, so that a silent device doesn't fill the memory.
    void forget_old();
    /// The source's value at a moment; none when it hasn't told of it yet.
    static std::optional<Joined> at(Source& source, double host_us);
    void greet();
    /// A moment of the host's clock on the events'.
    [[nodiscard]] std::int64_t event_us(double host_us);

    RigListener listener_;
    EventClock clock_;
    std::int64_t host_us_ = 0;
    std::int64_t counts_per_rev_ = 0;
    std::string name_;
    std::vector<Source> sources_;
    bool greeted_ = false;
};

}  // namespace lobewright
