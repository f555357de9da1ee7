#include "rig/model/hand_model.hpp"

#include <algorithm>
#include <cmath>

#include "analysis/errors.hpp"

namespace lobewright {

namespace {

constexpr double settle_s = 0.12;        // a hand takes about this long to reach another speed
constexpr double wander_s = 0.5;         // and its speed wanders over about this time
constexpr double backward_speed = -0.6;  // of the mean
constexpr double slowest = 0.15;         // of the mean, while turning

/// What the hand is doing, step by step.
class Hand {
public:
    Hand(const HandModel& model, double dt_s, Random& random) : model_(model), dt_s_(dt_s), random_(random) {
        start_deg_ = model.start_deg ? *model.start_deg : random.uniform(0.0, 360.0);
        angle_deg_ = furthest_deg_ = start_deg_;
        cam_deg_ = start_deg_;
        end_deg_ = start_deg_ + 360.0 * random.uniform(model.turns_min, model.turns_max);
        next_pause_deg_ = start_deg_ + gap_deg(model.pauses_per_turn);
        next_back_deg_ = start_deg_ + gap_deg(model.backward_per_turn);
        kick_ = model.unevenness * std::sqrt(2.0 * dt_s / wander_s);
    }

    [[nodiscard]] bool done() const { return furthest_deg_ >= end_deg_; }
    [[nodiscard]] HandPoint point(double t_s) const { return {t_s, angle_deg_, cam_deg_}; }

    void step() {
        wander_ += -wander_ * (dt_s_ / wander_s) + kick_ * random_.normal();
        const double wanted = wanted_speed();
        speed_ += (wanted - speed_) * std::min(1.0, dt_s_ / settle_s);
        angle_deg_ += speed_ * dt_s_;
        furthest_deg_ = std::max(furthest_deg_, angle_deg_);
        cam_deg_ = std::clamp(cam_deg_, angle_deg_, angle_deg_ + model_.backlash_deg);
    }

private:
    /// Degrees to the next event of a kind that comes `per_turn` times a turn.
    double gap_deg(double per_turn) {
        return per_turn > 0.0 ? random_.uniform(0.3, 1.7) * 360.0 / per_turn : 1e9;
    }

    double wanted_speed() {
        if (pause_left_s_ > 0.0) {
            pause_left_s_ -= dt_s_;
            return 0.0;
        }
        if (backing_) {
            backing_ = angle_deg_ > back_to_deg_;
            return model_.mean_deg_per_s * backward_speed;
        }
        if (angle_deg_ >= next_pause_deg_) {
            next_pause_deg_ = angle_deg_ + gap_deg(model_.pauses_per_turn);
            pause_left_s_ = random_.uniform(model_.pause_s_min, model_.pause_s_max);
        } else if (angle_deg_ >= next_back_deg_) {
            next_back_deg_ = angle_deg_ + gap_deg(model_.backward_per_turn);
            back_to_deg_ = angle_deg_ - random_.uniform(model_.backward_deg_min, model_.backward_deg_max);
            backing_ = true;
        }
        return model_.mean_deg_per_s * std::max(slowest, 1.0 + wander_);
    }

    const HandModel& model_;
    double dt_s_;
    Random& random_;
    double start_deg_ = 0.0;
    double end_deg_ = 0.0;
    double angle_deg_ = 0.0;
    double furthest_deg_ = 0.0;
    double cam_deg_ = 0.0;
    double speed_ = 0.0;
    double wander_ = 0.0;
    double kick_ = 0.0;
    double next_pause_deg_ = 0.0;
    double next_back_deg_ = 0.0;
    double back_to_deg_ = 0.0;
    double pause_left_s_ = 0.0;
    bool backing_ = false;
};

}  // namespace

std::vector<HandPoint> hand_path(const HandModel& hand, double rate_hz, Random& random) {
    if (!(hand.mean_deg_per_s > 0.0 && rate_hz > 0.0)) {
        throw UsageError("hand model: mean_deg_per_s and the rate must be positive");
    }
    Hand state(hand, 1.0 / rate_hz, random);
    std::vector<HandPoint> path;
    path.reserve(static_cast<std::size_t>(1.3 * rate_hz * 360.0 * hand.turns_max / hand.mean_deg_per_s));
    for (double i = 0.0; !state.done(); i += 1.0) {
        path.push_back(state.point(i / rate_hz));
        state.step();
    }
    return path;
}

}  // namespace lobewright
