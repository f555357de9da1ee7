// check_events.hpp: what a rig with known faults would tell while it is proved: a plain lobe, closed form, read by two
// indicators with noise, drift, hysteresis and lag, over an encoder with play, slips and an index mark of some width.
#pragma once

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>
#include <vector>

#include "rig/acquisition/rig_event.hpp"

namespace lobewright::tests {

struct CheckBench {
    std::int64_t counts_per_rev = 14400;
    std::int64_t told_counts_per_rev = 14400;
    std::int64_t every = 40;
    double noise_mm = 0.001;
    double step_mm = 0.0005;
    double drift_mm_per_min = 0.0;
    double hysteresis_mm = 0.0;
    double play_deg = 0.0;
    double lag_us = 0.0;
    std::int64_t mark_width = 0;
    bool index = true;
    double rear_sticks_from_deg = 1e9;  // of turning, from the start
    std::int64_t slip_counts = 0;       // once, after slip_at_deg of turning
    double slip_at_deg = 1e9;
    double doubt_us = 0.0;
    double lift_mm = 7.0;
};

/// One stretch of turning: signed degrees at a mean speed that wavers by a fifth.
struct CheckTurn {
    double deg = 0.0;
    double deg_per_s = 0.0;
};

class CheckHand {
public:
    explicit CheckHand(const CheckBench& bench, unsigned seed = 3) : bench_(bench), random_(seed) {
        events.emplace_back(RigBack{0, "bench", bench.told_counts_per_rev, bench.step_mm, false});
    }

    /// The cam stands; a rig that streams goes on telling, twenty times a second.
    void rest(double seconds) {
        for (double until = t_s_ + seconds; t_s_ < until; t_s_ += 0.05) read(0.0);
    }

    void turn(const CheckTurn& turn) {
        const int way = turn.deg < 0.0 ? -1 : 1;
        const double each = static_cast<double>(bench_.every) * deg_per_count();
        for (double gone = 0.0; gone < std::fabs(turn.deg); gone += each) {
            const double speed = turn.deg_per_s * (1.0 + 0.2 * std::sin(0.7 * t_s_));
            const double before = cam_deg_;
            t_s_ += each / speed;
            cam_deg_ += way * each;
            turned_ += each;
            slid_mark(before, way);
            play_ = std::clamp(play_ + way * each, -0.5 * bench_.play_deg, 0.5 * bench_.play_deg);
            read(way * speed);
        }
    }

    std::vector<RigEvent> events;

private:
    [[nodiscard]] double deg_per_count() const { return 360.0 / static_cast<double>(bench_.counts_per_rev); }
    /// The encoder lags the cam by its play: turning forward it stands half the play behind.
    [[nodiscard]] std::int64_t count() const {
        const std::int64_t slip = turned_ > bench_.slip_at_deg ? bench_.slip_counts : 0;
        return std::llround((cam_deg_ - play_) / deg_per_count()) + slip;
    }
    void slid_mark(double before_deg, int way) {
        if (!bench_.index) return;
        const auto turn_of = [](double deg) { return std::floor((deg - 90.0) / 360.0); };
        if (turn_of(before_deg) == turn_of(cam_deg_)) return;
        const double at_deg = 90.0 + 360.0 * std::max(turn_of(before_deg), turn_of(cam_deg_));
        const std::int64_t slip = turned_ > bench_.slip_at_deg ? bench_.slip_counts : 0;
        const std::int64_t at = std::llround((at_deg - play_) / deg_per_count()) + slip;
        events.emplace_back(RigIndex{now_us(), at - (way < 0 ? bench_.mark_width : 0)});
    }
    [[nodiscard]] std::int64_t now_us() const { return std::llround(t_s_ * 1e6); }
    /// (1 + cos)^3 about 180 degrees, 110 degrees to each side, and a heel with a little runout.
    [[nodiscard]] double lobe(double deg, double slope_sign_only) const {
        const double from = std::remainder(deg - 180.0, 360.0);
        const double x = from / 110.0;
        if (slope_sign_only != 0.0) return std::fabs(x) >= 1.0 ? 0.0 : (from < 0.0 ? 1.0 : -1.0);
        const double bump =
            std::fabs(x) >= 1.0 ? 0.0 : std::pow(0.5 * (1.0 + std::cos(std::numbers::pi * x)), 1.5);
        return bench_.lift_mm * bump + 0.004 * std::sin(deg * std::numbers::pi / 180.0);
    }
    void read(double deg_per_s) {
        std::normal_distribution<double> noise(0.0, bench_.noise_mm);
        const double seen_deg = cam_deg_ - deg_per_s * 1e-6 * bench_.lag_us;
        const double rising = lobe(seen_deg, 1.0) * (deg_per_s > 0.0 ? 1.0 : deg_per_s < 0.0 ? -1.0 : 0.0);
        const double mm =
            lobe(seen_deg, 0.0) - 0.5 * bench_.hysteresis_mm * rising + bench_.drift_mm_per_min * t_s_ / 60.0;
        const auto stepped = [&](double value) {
            return bench_.step_mm * std::round(value / bench_.step_mm);
        };
        const double front = stepped(mm + noise(random_));
        const double rear = stepped(mm + 0.02 + noise(random_));
        if (turned_ < bench_.rear_sticks_from_deg) rear_mm_ = rear;
        events.emplace_back(RigReading{now_us(), count(), front, rear_mm_, bench_.doubt_us});
    }

    CheckBench bench_;
    std::mt19937 random_;
    double t_s_ = 0.0;
    double cam_deg_ = 0.0;
    double turned_ = 0.0;
    double play_ = 0.0;
    double rear_mm_ = 0.0;
};

/// What `lobewright rig-check` asks for: standing still, slowly, twice as fast, back.
inline std::vector<RigEvent> proving(const CheckBench& bench, bool rests = true, unsigned seed = 3) {
    CheckHand hand(bench, seed);
    if (rests) hand.rest(10.0);
    hand.turn({770.0, 15.0});
    hand.turn({770.0, 40.0});
    hand.turn({-770.0, 25.0});
    return hand.events;
}

}  // namespace lobewright::tests
