#include "rig/session/bench.hpp"

#include <cstdlib>
#include <utility>

namespace lobewright {

void Bench::take(const RigEvent& event) {
    if (!frame_) return;  // nobody has said yet how the encoder counts
    const std::size_t leg = frame_->current();
    const FrameChange change = frame_->take(event);
    if (change == FrameChange::agrees || change == FrameChange::slipped) look_back(leg, change);
    if (!in_hand_) return;
    in_hand_->take(event, *frame_, change);
    if (in_hand_->done()) end_sweep(SweepEnd::whole);
}

void Bench::take(const SessionNote& note) {
    switch (note.does) {
        case SessionDoes::opens:
            frame_.emplace(note.plan.counts_per_rev, note.plan.direction, note.plan.index);
            break;
        case SessionDoes::begins:
            if (!frame_) frame_.emplace(note.plan.counts_per_rev, note.plan.direction, note.plan.index);
            end_sweep(SweepEnd::stopped);
            in_hand_.emplace(note.plan);
            break;
        case SessionDoes::ends:
            end_sweep(SweepEnd::stopped);
            break;
        case SessionDoes::drops:
            end_sweep(SweepEnd::dropped);
            break;
        case SessionDoes::kept:
        case SessionDoes::aside:
        case SessionDoes::closes:
            break;
    }
}

void Bench::end() {
    end_sweep(SweepEnd::stopped);
}

void Bench::end_sweep(SweepEnd end) {
    if (!in_hand_) return;
    const SweepInHand& hand = *in_hand_;
    taken_.push_back(
        {hand.plan(), end, hand.sweep(), hand.marks(), hand.notes(), hand.troubles(), hand.last_leg()});
    if (hand.last_leg() && end != SweepEnd::dropped)
        watched_.push_back({hand.plan().of, hand.plan().pass, *hand.last_leg()});
    in_hand_.reset();
}

/// The mark at the end of `leg` went by: sweeps that ended within it are checked now.
void Bench::look_back(std::size_t leg, FrameChange change) {
    for (const Watched& sweep : watched_) {
        if (change == FrameChange::slipped && sweep.leg == leg)
            late_.push_back({sweep.of, sweep.pass, std::abs(frame_->off_by())});
    }
    watched_.clear();
}

std::vector<TakenSweep> Bench::taken() {
    return std::exchange(taken_, {});
}

std::vector<LateSlip> Bench::late_slips() {
    return std::exchange(late_, {});
}

}  // namespace lobewright
