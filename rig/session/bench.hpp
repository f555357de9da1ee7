// bench.hpp: a rig's events and the session's notes, in the order in which they happened, to sweeps taken. The same for a
// live rig and for a capture replayed: what it makes of a sweep is a function of that order alone.
// Throws nothing but std::bad_alloc.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "analysis/run/run.hpp"
#include "rig/acquisition/count_frame.hpp"
#include "rig/acquisition/rig_event.hpp"
#include "rig/acquisition/sweep_in_hand.hpp"
#include "rig/session/session_note.hpp"

namespace lobewright {

enum class SweepEnd {
    whole,    // by itself
    stopped,  // by the operator's word, or because the capture ends there
    dropped,  // to be taken again
};

/// A sweep that has ended.
struct TakenSweep {
    SweepPlan plan;
    SweepEnd end = SweepEnd::whole;
    Sweep sweep;
    std::vector<std::string> marks;
    std::vector<std::string> notes;
    std::vector<SweepTrouble> troubles;
    std::optional<std::size_t>
        last_leg;  // of the counting; the mark at its end checks the sweep's last counts
};

/// A mark that went by after a sweep had ended, and didn't agree: counts were lost since the mark before.
struct LateSlip {
    std::string of;
    int pass = 1;
    std::int64_t counts = 0;
};

class Bench {
public:
    void take(const RigEvent& event);
    void take(const SessionNote& note);

    /// Nothing more will come: what is in hand has ended.
    void end();

    [[nodiscard]] const SweepInHand* in_hand() const { return in_hand_ ? &*in_hand_ : nullptr; }
    /// How the encoder counts; none before the session's first note.
    [[nodiscard]] const CountFrame* frame() const { return frame_ ? &*frame_ : nullptr; }

    /// Sweeps that have ended, and slips seen late, since this was last asked.
    std::vector<TakenSweep> taken();
    std::vector<LateSlip> late_slips();

private:
    struct Watched {
        std::string of;
        int pass = 1;
        std::size_t leg = 0;
    };

    void end_sweep(SweepEnd end);
    void look_back(std::size_t leg, FrameChange change);

    std::optional<CountFrame> frame_;
    std::optional<SweepInHand> in_hand_;
    std::vector<TakenSweep> taken_;
    std::vector<LateSlip> late_;
    std::vector<Watched> watched_;  // sweeps whose last counts no mark has checked yet
};

}  // namespace lobewright
