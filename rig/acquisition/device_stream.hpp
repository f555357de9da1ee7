// device_stream.hpp: one stand-alone device's bytes to readings, each with the moment that it stands for on the host's clock
// and how well that is known: its own clock where it has one, its reading index where it streams steadily, else the
// arrival of its first byte; less wire time and the device's latency.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string_view>

#include "rig/acquisition/clock_fit.hpp"
#include "rig/acquisition/rig_description.hpp"
#include "rig/decode/reading_line.hpp"
#include "rig/framing/text_lines.hpp"

namespace lobewright {

struct TimedReading {
    double host_us = 0.0;
    double u_us = 0.0;   // standard uncertainty of that moment
    double value = 0.0;  // mm, or counts
    bool index = false;
};

class DeviceStream {
public:
    /// Throws DataError for a pattern that isn't one.
    explicit DeviceStream(DeviceDescription device);

    /// Gives each reading to `reading` and calls `damaged` for each line that isn't one. Before the first whole line
    /// nothing is damaged.
    void feed(std::int64_t host_us, std::string_view bytes,
              const std::function<void(const TimedReading&)>& reading, const std::function<void()>& damaged);
    /// After an unplug.
    void reset();

    [[nodiscard]] const DeviceDescription& device() const { return device_; }
    [[nodiscard]] bool answered() const { return answered_; }

private:
    TimedReading timed(const DeviceLine& line, double first_byte_us);
    /// The reading's place on the device's own scale of time; none when it has no such scale.
    std::optional<double> ticks_of(const DeviceLine& line, double first_byte_us);
    /// How many readings of a steady streamer are missing before the one that came now.
    double missing_before(double first_byte_us);

    DeviceDescription device_;
    TextLines lines_;
    LineReader reader_;
    std::optional<ClockFit> fit_;
    std::optional<std::uint64_t> last_ticks_;
    double ticks_ = 0.0;
    double late_us_ = 0.0;        // most that a streamed reading came later than due
    double last_first_us_ = 0.0;  // when the last reading's first byte came
    double last_us_ = 0.0;        // readings of one device come in order
    bool answered_ = false;
};

}  // namespace lobewright
