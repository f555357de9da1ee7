#include "rig/acquisition/device_stream.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace lobewright {
namespace {

/// Arrival alone: an adapter hands its bytes on when 16 ms have passed, all moments within them equally likely (docs of
/// common USB adapters; standard uncertainty 16 ms over the root of 12).
constexpr double arrival_u_us = 16'000.0 / 3.4641016;

double us_per_byte(const PortSettings& port) {
    if (port.name.starts_with("tcp:")) return 0.0;
    const int bits = 1 + port.data_bits + (port.parity == Parity::none ? 0 : 1) + port.stop_bits;
    return 1e6 * bits / port.baud;
}

std::optional<ClockFit> fit_for(const DeviceDescription& device) {
    if (device.line.clock) return ClockFit(device.line.clock->us_per_tick);
    // A device that sends when it is asked, or when the cam turns, has no beat of its own.
    const bool steady = device.line.ask.empty() && device.role != DeviceRole::counter;
    return steady ? std::optional(ClockFit(0.0)) : std::nullopt;
}

}  // namespace

DeviceStream::DeviceStream(DeviceDescription device)
    : device_(std::move(device)),
      lines_(us_per_byte(device_.port)),
      reader_(device_.line),
      fit_(fit_for(device_)) {}

void DeviceStream::feed(std::int64_t host_us, std::string_view bytes,
                        const std::function<void(const TimedReading&)>& reading,
                        const std::function<void()>& damaged) {
    const auto bad = [this, &damaged] {
        if (answered_) damaged();
    };
    lines_.feed(
        static_cast<double>(host_us), bytes,
        [&](std::string_view text, double first_byte_us) {
            const std::optional<DeviceLine> line = reader_.read(text);
            if (!line) return bad();
            answered_ = true;
            reading(timed(*line, first_byte_us));
        },
        bad);
}

void DeviceStream::reset() {
    lines_.reset();
    fit_ = fit_for(device_);
    last_ticks_.reset();
    ticks_ = late_us_ = last_first_us_ = 0.0;
    answered_ = false;
}

std::optional<double> DeviceStream::ticks_of(const DeviceLine& line, double first_byte_us) {
    if (line.ticks) {
        const std::uint64_t wraps = device_.line.clock->wraps;
        const bool back = last_ticks_ && *line.ticks < *last_ticks_;
        if (back && wraps == 0) {  // the device began anew, and so does the fit
            fit_ = fit_for(device_);
            ticks_ = 0.0;
        } else if (last_ticks_) {
            ticks_ += static_cast<double>(*line.ticks + (back ? wraps : 0) - *last_ticks_);
        }
        last_ticks_ = line.ticks;
        return ticks_;
    }
    if (!fit_ || line.index) return std::nullopt;
    ticks_ += 1.0 + missing_before(first_byte_us);
    return ticks_;
}

double DeviceStream::missing_before(double first_byte_us) {
    const double interval = fit_->slope_us();
    if (!fit_->settled()) {
        // Two intervals of an even beat, or one and more jitter than there is room for.
        const double since = first_byte_us - std::exchange(last_first_us_, first_byte_us);
        constexpr double gap = 1.65;
        return ticks_ > 1.0 && since > gap * interval ? std::floor(since / interval - 0.5) : 0.0;
    }
    const double late = first_byte_us - fit_->host_us(ticks_ + 1.0);
    // A reading comes late by up to late_us_; one that is missing makes the next late by an interval more. Where the
    // first is as much as the second, nothing can be told.
    if (late_us_ < 0.8 * interval && late > 0.5 * (late_us_ + interval))
        return std::max(1.0, std::floor((late - 0.5 * late_us_) / interval + 0.5));
    late_us_ = std::max(late_us_, std::min(late, interval));
    return 0.0;
}

TimedReading DeviceStream::timed(const DeviceLine& line, double first_byte_us) {
    TimedReading out;
    out.index = line.index;
    out.value = line.value.value() * device_.line.mm_per_unit * device_.line.sign;
    out.host_us = first_byte_us;
    double u = arrival_u_us;
    const std::optional<double> ticks = ticks_of(line, first_byte_us);
    if (ticks) fit_->add(*ticks, first_byte_us);
    if (ticks && fit_->settled() && !fit_->implausible() && fit_->u_us() < arrival_u_us) {
        out.host_us = std::min(first_byte_us, fit_->host_us(*ticks));
        u = fit_->u_us();
    }
    // The fit is made anew now and then; what was told before stays before.
    out.host_us = last_us_ = std::max(last_us_, out.host_us - device_.line.latency_us);
    out.u_us = std::hypot(u, device_.line.latency_u_us);
    return out;
}

}  // namespace lobewright
