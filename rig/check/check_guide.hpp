// check_guide.hpp: leads through the proving of a rig: which step is due and how far it has come, from the events alone. A
// rig that sends readings at rest is left standing first; then two turns slowly in the running direction, two the same way
// about twice as fast, two back. Each turning step asks for a tenth of a turn more, because a begun bin of angle isn't used.
#pragma once

#include <cstdint>

#include "rig/acquisition/rig_event.hpp"

namespace lobewright {

enum class CheckStep { rest, slow, fast, back, done };

class CheckGuide {
public:
    /// `rests`: the rig sends readings while the cam stands.
    CheckGuide(std::int64_t counts_per_rev, bool rests);

    void take(const RigEvent& event);

    [[nodiscard]] CheckStep step() const { return step_; }
    /// Of the step, 0 up to 1.
    [[nodiscard]] double share() const { return share_; }

private:
    void at_rest(std::int64_t t_us, std::int64_t count);
    void turned(std::int64_t count);
    void begin(CheckStep step);

    std::int64_t counts_per_rev_;
    CheckStep step_;
    double share_ = 0.0;
    bool begun_ = false;
    int way_ = 0;                // of running; 0: not known yet
    std::int64_t since_us_ = 0;  // of the rest
    std::int64_t low_ = 0, high_ = 0;
};

}  // namespace lobewright
