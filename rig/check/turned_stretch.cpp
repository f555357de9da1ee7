#include "rig/check/turned_stretch.hpp"

#include <cmath>

namespace lobewright {
namespace {

constexpr double shaky_turns = 0.01;
constexpr double least_turns = 0.5;

/// Time in which the cam moved: rests don't count as slow turning.
double moving_s(const std::vector<RigReading>& readings) {
    std::int64_t us = 0;
    for (std::size_t i = 1; i < readings.size(); ++i) {
        if (readings[i].count != readings[i - 1].count) us += readings[i].t_us - readings[i - 1].t_us;
    }
    return static_cast<double>(us) * 1e-6;
}

/// Gathers readings into stretches; knows how far the hand had come.
class Gatherer {
public:
    explicit Gatherer(std::int64_t counts_per_rev) : counts_per_rev_(static_cast<double>(counts_per_rev)) {}

    void take(const RigReading& reading) {
        if (now_.readings.empty()) {
            begin(reading);
            return;
        }
        const std::int64_t ahead = (reading.count - furthest_) * now_.direction;
        if (ahead >= 0) {
            furthest_ = reading.count;
            back_from_ = now_.readings.size() + 1;
        } else if (static_cast<double>(-ahead) > shaky_turns * counts_per_rev_) {
            turn_back(reading);
            return;
        }
        now_.readings.push_back(reading);
    }
    void end() {
        if (now_.readings.size() > 1) {
            now_.turns =
                std::abs(static_cast<double>(furthest_ - now_.readings.front().count)) / counts_per_rev_;
            const double seconds = moving_s(now_.readings);
            if (seconds > 0.0) now_.deg_per_s = now_.turns * 360.0 / seconds;
            if (now_.turns >= least_turns) done_.push_back(now_);
        }
        now_ = {};
    }
    std::vector<TurnedStretch> done() && { return std::move(done_); }

private:
    void begin(const RigReading& reading) {
        now_.readings.push_back(reading);
        furthest_ = reading.count;
        back_from_ = 1;
    }
    void turn_back(const RigReading& reading) {
        // What came since the furthest point belongs to the way back.
        const std::vector<RigReading> since(now_.readings.begin() + static_cast<std::ptrdiff_t>(back_from_),
                                            now_.readings.end());
        const int direction = -now_.direction;
        now_.readings.resize(back_from_);
        end();
        now_.direction = direction;
        now_.readings = since;
        now_.readings.push_back(reading);
        furthest_ = reading.count;
        back_from_ = now_.readings.size();
    }

    double counts_per_rev_;
    TurnedStretch now_;
    std::int64_t furthest_ = 0;
    std::size_t back_from_ = 0;  // readings up to the furthest point
    std::vector<TurnedStretch> done_;
};

std::size_t bin_of(std::int64_t count, std::int64_t counts_per_rev) {
    const std::int64_t within = ((count % counts_per_rev) + counts_per_rev) % counts_per_rev;
    return static_cast<std::size_t>(within * static_cast<std::int64_t>(turn_bins) / counts_per_rev);
}

}  // namespace

std::vector<TurnedStretch> turned_stretches(std::span<const RigEvent> events, std::int64_t counts_per_rev) {
    Gatherer gatherer(counts_per_rev);
    for (const RigEvent& event : events) {
        if (const auto* reading = std::get_if<RigReading>(&event)) gatherer.take(*reading);
        if (std::holds_alternative<RigBack>(event)) gatherer.end();
    }
    gatherer.end();
    return std::move(gatherer).done();
}

std::optional<double> reading_of(const RigReading& reading, Side side) {
    return side == Side::front ? reading.front_mm : reading.rear_mm;
}

std::vector<TurnCurve> turn_curves(const TurnedStretch& stretch, std::int64_t counts_per_rev, Side side) {
    struct Sum {
        double of = 0.0;
        int number = 0;
    };
    std::vector<std::array<Sum, turn_bins>> sums;
    const std::int64_t first = stretch.readings.front().count;
    for (const RigReading& reading : stretch.readings) {
        const std::optional<double> value = reading_of(reading, side);
        if (!value) continue;
        const auto turn = static_cast<std::size_t>(std::abs(reading.count - first) / counts_per_rev);
        if (sums.size() <= turn) sums.resize(turn + 1);
        Sum& sum = sums[turn][bin_of(reading.count, counts_per_rev)];
        sum.of += *value;
        ++sum.number;
    }
    std::vector<TurnCurve> out(sums.size());
    for (std::size_t turn = 0; turn < sums.size(); ++turn) {
        for (std::size_t bin = 0; bin < turn_bins; ++bin) {
            const Sum& sum = sums[turn][bin];
            if (sum.number > 0) out[turn][bin] = sum.of / sum.number;
        }
    }
    return out;
}

TurnCurve mean_curve(const std::vector<TurnCurve>& turns) {
    TurnCurve out;
    for (std::size_t bin = 0; bin < turn_bins; ++bin) {
        double sum = 0.0;
        int number = 0;
        for (const TurnCurve& turn : turns) {
            if (!turn[bin]) continue;
            sum += *turn[bin];
            ++number;
        }
        if (number > 0) out[bin] = sum / number;
    }
    return out;
}

}  // namespace lobewright
