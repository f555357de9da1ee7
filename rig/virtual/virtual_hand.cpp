#include "rig/virtual/virtual_hand.hpp"

#include <algorithm>
#include <cmath>

namespace lobewright::virtual_rig {
namespace {

// As in rig/model/hand_model.cpp.
constexpr double settle_s = 0.12;  // a hand takes about this long to reach another speed
constexpr double wander_s = 0.5;   // and its speed wanders over about this time
constexpr double slowest = 0.15;   // of the wanted speed, while turning

}  // namespace

VirtualHand::VirtualHand(double start_deg, double deg_per_s, double unevenness, std::uint64_t seed)
    : deg_(start_deg), speed_deg_per_s_(deg_per_s), unevenness_(unevenness), random_(seed, 11) {}

void VirtualHand::first(const HandMove& move) {
    moves_.push_front(move);
}

void VirtualHand::motor(std::optional<double> deg_per_s) {
    if (motor_deg_per_s_ && !deg_per_s) now_deg_per_s_ = 0.0;  // it stops, and nothing else turns yet
    motor_deg_per_s_ = deg_per_s;
}

/// The speed the hand is after; takes moves that are done off the list.
double VirtualHand::wanted(double dt_s, bool may_turn) {
    if (moves_.empty()) return turns_on_ && may_turn ? speed_deg_per_s_ : 0.0;
    HandMove& move = moves_.front();
    if (move.deg == 0.0) {
        move.rest_s -= dt_s;
        if (move.rest_s <= 0.0) moves_.pop_front();
        return 0.0;
    }
    const double size = move.deg_per_s > 0.0 ? move.deg_per_s : speed_deg_per_s_;
    return move.deg > 0.0 ? size : -size;
}

void VirtualHand::advance(double dt_s, bool may_turn) {
    if (motor_deg_per_s_) {
        now_deg_per_s_ = *motor_deg_per_s_;
        deg_ += now_deg_per_s_ * dt_s;
        return;
    }
    const bool listed = !moves_.empty();
    const double target = wanted(dt_s, may_turn);
    wander_ +=
        -wander_ * (dt_s / wander_s) + unevenness_ * std::sqrt(2.0 * dt_s / wander_s) * random_.normal();
    const double uneven = target * std::max(slowest, 1.0 + wander_);
    now_deg_per_s_ += (uneven - now_deg_per_s_) * std::min(1.0, dt_s / settle_s);
    double moved = now_deg_per_s_ * dt_s;
    if (listed && !moves_.empty() && moves_.front().deg != 0.0) {
        double& left = moves_.front().deg;
        if (std::fabs(moved) >= std::fabs(left) && moved * left > 0.0) {
            moved = left;  // it ends where it was to end
            moves_.pop_front();
            now_deg_per_s_ = 0.0;
        } else {
            left -= moved;
        }
    }
    deg_ += moved;
}

}  // namespace lobewright::virtual_rig
