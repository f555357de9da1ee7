// virtual_hand.hpp: what turns the cam of a virtual rig: a hand with a list of moves, a hand that turns on and on, or the
// rig's motor. A hand takes a moment to reach its speed and wanders about it; a motor doesn't.
#pragma once

#include <deque>
#include <optional>

#include "rig/model/random.hpp"

namespace lobewright::virtual_rig {

/// One thing the hand does: turn so far (negative: back), or rest.
struct HandMove {
    double deg = 0.0;
    double deg_per_s = 0.0;  // 0: the hand's own speed
    double rest_s = 0.0;     // a rest when deg is 0
};

class VirtualHand {
public:
    /// `unevenness`: relative standard deviation of the speed.
    VirtualHand(double start_deg, double deg_per_s, double unevenness, std::uint64_t seed);

    /// Adds to what it does; done in this order, before it turns on and on.
    void then(const HandMove& move) { moves_.push_back(move); }
    /// Does this now, and what it was at afterwards.
    void first(const HandMove& move);
    /// Forgets what it was to do.
    void drop_moves() { moves_.clear(); }
    /// Turns on and on when it has nothing else to do.
    void keep_turning(bool on) { turns_on_ = on; }
    [[nodiscard]] bool keeps_turning() const { return turns_on_; }
    [[nodiscard]] bool has_moves() const { return !moves_.empty(); }
    void set_speed(double deg_per_s) { speed_deg_per_s_ = deg_per_s; }
    [[nodiscard]] double speed() const { return speed_deg_per_s_; }
    /// The motor holds the cam and turns it at this speed; none: it lets go.
    void motor(std::optional<double> deg_per_s);

    /// Moves on by so much time. `may_turn` false: the hand waits, but for what is on its list.
    void advance(double dt_s, bool may_turn);
    [[nodiscard]] double deg() const { return deg_; }

private:
    [[nodiscard]] double wanted(double dt_s, bool may_turn);

    double deg_;
    double speed_deg_per_s_;
    double unevenness_;
    Random random_;
    std::deque<HandMove> moves_;
    bool turns_on_ = false;
    std::optional<double> motor_deg_per_s_;
    double now_deg_per_s_ = 0.0;
    double wander_ = 0.0;
};

}  // namespace lobewright::virtual_rig
