// sweep_in_hand.hpp: one sweep while it is being taken, as a plain state machine fed with the rig's events. It knows which
// stretches of the turn are covered by good readings, names every trouble with where it happened, ends when the turn is
// whole and read twice over its overlap, and gives the Sweep. The same events give the same sweep, live and replayed.
//
// What goes into the Sweep: every reading with the figures it needs whose angle is known, backward turns and rests too
// (the analysis keeps the last forward pass). What doesn't: readings whose counts are void (of a rig that never showed its
// index mark; between two marks that don't agree), readings whose time is too doubtful for the speed, and readings
// without a figure. Each of them is named, its stretch stays open until it is read again, and its bytes stay in the
// capture.
//
// End. Before a rig's first mark nothing could show lost counts, so a sweep begun there goes on until a turn between two
// marks is whole; where the cam is left standing before, what there is counts, with a note.
// Throws nothing but std::bad_alloc.
#pragma once

#include <deque>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "analysis/run/run.hpp"
#include "rig/acquisition/count_frame.hpp"
#include "rig/acquisition/rig_event.hpp"
#include "rig/acquisition/stuck_watch.hpp"
#include "rig/acquisition/sweep_plan.hpp"
#include "rig/acquisition/sweep_rows.hpp"
#include "rig/acquisition/trouble_log.hpp"
#include "rig/acquisition/turn_track.hpp"

namespace lobewright {

class SweepInHand {
public:
    explicit SweepInHand(SweepPlan plan);

    /// `frame` has taken the event already and said `change` of it.
    void take(const RigEvent& event, const CountFrame& frame, FrameChange change);

    /// The sweep has ended by itself.
    [[nodiscard]] bool done() const { return done_; }
    /// The turn is whole and read twice over the overlap.
    [[nodiscard]] bool enough() const { return enough_; }

    /// The rows so far, with count 0 at the index mark; without rows where no angle is known.
    [[nodiscard]] Sweep sweep() const { return rows_.sweep(); }

    /// What is amiss with the sweep as it stands: open stretches, and troubles that no further turning puts right.
    [[nodiscard]] std::vector<std::string> marks() const;
    /// What isn't amiss but wants saying.
    [[nodiscard]] std::vector<std::string> notes() const;
    /// Every trouble so far, those marked that the turn is whole without.
    [[nodiscard]] std::vector<SweepTrouble> troubles() const { return log_.all(track_); }
    [[nodiscard]] std::size_t trouble_count() const { return log_.size(); }

    [[nodiscard]] const SweepPlan& plan() const { return plan_; }
    [[nodiscard]] const TurnTrack& track() const { return track_; }
    [[nodiscard]] bool begun() const { return !rows_.empty(); }
    /// Angles are true, not counted from where the sweep began until the index mark goes by.
    [[nodiscard]] bool true_angles() const { return rows_.true_angles(); }
    /// None before the first reading, and between a return and the mark.
    [[nodiscard]] std::optional<double> angle_deg() const { return angle_deg_; }
    [[nodiscard]] std::optional<double> front_mm() const { return front_mm_; }
    [[nodiscard]] std::optional<double> rear_mm() const { return rear_mm_; }
    [[nodiscard]] double speed_deg_per_s() const { return speed_deg_per_s_; }
    /// What the plan knows of, and what the last third of a second has shown of stand-alone devices: how often they send, and
    /// how well the time of their readings is known. Readings taken faster are of no use.
    [[nodiscard]] std::optional<double> fastest_deg_per_s() const;
    [[nodiscard]] bool away() const { return away_; }
    [[nodiscard]] std::vector<Stretch> missing() const { return missing_stretches(track_.passes()); }
    /// The leg of the counting that the last row lies in: the mark at its end tells whether its counts were right.
    [[nodiscard]] std::optional<std::size_t> last_leg() const { return rows_.last_leg(); }

private:
    void take_reading(const RigReading& reading, const CountFrame& frame);
    void take_trouble(const RigTrouble& trouble);
    void take_change(std::int64_t t_us, const CountFrame& frame, FrameChange change);
    bool figures_are_there(const RigReading& reading);
    bool time_is_good_enough(const RigReading& reading);
    void watch_speed(std::int64_t t_us, std::int64_t count, double doubt_us);
    void follow(const TrackPoint& point, std::int64_t t_us);
    void rebuild();
    [[nodiscard]] bool is_whole(const TurnTrack& track) const;
    void leave_out_unmarked_if_whole();
    void look_for_the_end(std::int64_t t_us);
    [[nodiscard]] std::optional<Stretch> here() const;

    SweepPlan plan_;
    SweepRows rows_;
    TurnTrack track_;
    StuckWatch stuck_;
    TroubleLog log_;
    std::optional<std::pair<bool, bool>> columns_;  // front and rear: what the first reading of a journal had
    std::optional<double> angle_deg_, front_mm_, rear_mm_;
    struct Recent {
        std::int64_t t_us;
        std::int64_t count;
        double doubt_us;  // 0: latched by the rig itself
    };
    std::deque<Recent> recent_;
    double speed_deg_per_s_ = 0.0;
    double looked_at_deg_ = 0.0;
    std::optional<std::int64_t> moved_us_;  // when the cam last moved
    bool fast_ = false, away_ = false, returned_ = false, enough_ = false, done_ = false;
};

}  // namespace lobewright
