// clock_fit.hpp: when a device's clock showed a tick, on the host's clock: host = a + b * ticks over a sliding minute or two.
// Delay from reading to arrival is never less than some least delay and often more, so that least squares would sit a
// mean delay late and swing with the load. Per block of time the point of least delay is kept; the slope is the median
// of all slopes between two such points (Theil and Sen's estimator, P. K. Sen, J. Am. Stat. Assoc. 63 (1968) 1379,
// from memory), the intercept their residuals' lower quartile. The least delay itself no fit can see: it is part of the
// device's latency, by calibration.
#pragma once

#include <cstddef>
#include <vector>

namespace lobewright {

class ClockFit {
public:
    /// `nominal_us`: microseconds a tick; 0 when it isn't known beforehand (a steady streamer's reading index).
    explicit ClockFit(double nominal_us) : nominal_us_(nominal_us), slope_(nominal_us) {}

    /// A reading of `ticks` arrived at `host_us`. Ticks must rise.
    void add(double ticks, double host_us);
    /// Host time of `ticks` less the delay that varies.
    [[nodiscard]] double host_us(double ticks) const;
    [[nodiscard]] double slope_us() const { return slope_; }
    /// Enough blocks for the fit to be worth more than the arrival itself.
    [[nodiscard]] bool settled() const { return blocks_.size() >= 8; }
    /// Standard uncertainty of host_us beside the least delay: by how much the blocks' points scatter.
    [[nodiscard]] double u_us() const { return u_us_; }
    /// The slope is off its nominal by more than any clock is (200 parts in a million).
    [[nodiscard]] bool implausible() const;

private:
    struct Point {
        double ticks = 0.0, host_us = 0.0;
    };
    [[nodiscard]] double delay(const Point& point) const { return point.host_us - slope_ * point.ticks; }
    void close_block();
    void merge_pairs();
    void refit();

    double nominal_us_;
    double slope_;
    double intercept_ = 0.0;
    double u_us_ = 0.0;
    double block_us_ = 250'000.0;  // grows until 40 blocks span two minutes
    std::vector<Point> blocks_;    // the least-delay point of each
    std::vector<Point> open_;      // the points of the block in hand
};

}  // namespace lobewright
