#include "rig/session/replay_sweeps.hpp"

#include <algorithm>

#include "rig/acquisition/replay_events.hpp"
#include "rig/session/session_note_capture.hpp"

namespace lobewright {

namespace {

/// A note that a sweep stands where it belongs: the latest of its name and pass that isn't settled yet.
void settle(std::vector<ReplayedSweep>& sweeps, const SweepPlan& plan) {
    const auto found = std::find_if(sweeps.rbegin(), sweeps.rend(), [&](const ReplayedSweep& sweep) {
        return !sweep.settled && sweep.taken.plan.of == plan.of && sweep.taken.plan.pass == plan.pass;
    });
    if (found != sweeps.rend()) found->settled = true;
}

}  // namespace

ReplayedCapture replay_sweeps(const std::filesystem::path& capture, PastDamage past_damage) {
    ReplayedCapture replayed;
    Bench bench;
    const auto collect = [&](bool cut_off) {
        for (TakenSweep& taken : bench.taken()) replayed.sweeps.push_back({std::move(taken), false, cut_off});
    };
    const auto hear_note = [&](const CaptureNote& heard) {
        const auto note = session_note_of(heard);
        if (!note) return;
        bench.take(*note);
        collect(false);
        if (note->does == SessionDoes::kept || note->does == SessionDoes::aside)
            settle(replayed.sweeps, note->plan);
        replayed.closed = note->does == SessionDoes::closes;
    };
    const auto hear_event = [&](const RigEvent& event) {
        bench.take(event);
        collect(false);
    };
    replayed.contents = replay_events(capture, hear_event, hear_note, past_damage);
    bench.end();
    collect(true);
    return replayed;
}

}  // namespace lobewright
