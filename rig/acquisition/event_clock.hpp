// event_clock.hpp: the one clock of a rig's events, in microseconds from its first byte or note. Where a device has a
// clock, time between its lines is the device's; where it says nothing (before it is greeted, unplugged, reset) the
// host's clock carries on. It never goes back.
#pragma once

#include <algorithm>
#include <cstdint>

namespace lobewright {

class EventClock {
public:
    /// Time at `host_us` of the host's steady clock.
    std::int64_t at_host(std::int64_t host_us) {
        if (!begun_) set(0, host_us);
        return now_ + std::max<std::int64_t>(0, host_us - host_at_);
    }
    /// Time at the device's last line.
    [[nodiscard]] std::int64_t at_device() const { return now_; }
    /// The device's own step since the last line that was heard at `host_us`.
    std::int64_t advance(std::int64_t step_us, std::int64_t host_us) {
        set(now_ + step_us, host_us);
        return now_;
    }
    /// The device's clock starts anew.
    std::int64_t restart(std::int64_t host_us) {
        set(at_host(host_us), host_us);
        return now_;
    }

private:
    void set(std::int64_t now, std::int64_t host_us) {
        now_ = now;
        host_at_ = host_us;
        begun_ = true;
    }

    std::int64_t now_ = 0;
    std::int64_t host_at_ = 0;
    bool begun_ = false;
};

}  // namespace lobewright
