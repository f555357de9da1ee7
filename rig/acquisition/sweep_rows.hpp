// sweep_rows.hpp: the readings of one sweep and where each lies, as far as its counts can be believed.
//
// Placing. A row lies at its raw count less the count of the index mark that its leg is held against. After a return whole
// turns are added so that the cam goes on forward from where it was: which turn it is nobody can know, and nothing needs it.
// Before a rig's first mark rows lie provisionally, counted from the first of them; the mark puts them in place.
// Throws nothing but std::bad_alloc.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include "analysis/run/run.hpp"
#include "rig/acquisition/count_frame.hpp"
#include "rig/acquisition/sweep_plan.hpp"
#include "rig/acquisition/turn_track.hpp"

namespace lobewright {

struct SweepRow {
    std::size_t leg = 0;
    std::int64_t t_us = 0;
    std::int64_t count = 0;  // as the rig counts
    double front_mm = 0.0;   // NaN where a journal is read by the other alone
    double rear_mm = 0.0;
};

class SweepRows {
public:
    explicit SweepRows(const SweepPlan& plan);

    /// Records a row taken now; gives its place on the track, provisional or true, or none while that isn't known.
    std::optional<TrackPoint> add(const SweepRow& row, const CountFrame& frame);

    /// Takes over what the frame has learnt of legs. True when rows lie elsewhere than before.
    bool learn(const CountFrame& frame);

    /// From now on rows before a rig's first mark don't count: a turn between two marks has been read since.
    void leave_out_unmarked();
    [[nodiscard]] bool has_unmarked() const;

    /// All rows that have a place, in the order in which they were taken; with `marked_only`, those behind a mark.
    [[nodiscard]] std::vector<TrackPoint> places(bool marked_only = false);

    /// True angles, not counted from the sweep's beginning.
    [[nodiscard]] bool true_angles() const { return true_angles_; }
    [[nodiscard]] bool empty() const { return rows_.empty(); }
    [[nodiscard]] std::optional<std::size_t> last_leg() const;

    /// The sweep's columns; no rows without true angles.
    [[nodiscard]] Sweep sweep() const;

    /// Where a count of the frame's current leg lies.
    [[nodiscard]] std::optional<double> deg_of(std::int64_t count, const CountFrame& frame) const;

private:
    struct Leg {
        std::size_t ordinal = 0;
        CountLeg facts;
        std::optional<std::int64_t> turns;  // whole turns put in, in counts
    };

    Leg& leg_for(std::size_t ordinal, const CountFrame& frame);
    [[nodiscard]] const Leg* find(std::size_t ordinal) const;
    [[nodiscard]] bool counts(const Leg& leg) const;
    [[nodiscard]] std::int64_t zero_of(const Leg& leg) const;
    std::optional<std::int64_t> place(const SweepRow& row);
    [[nodiscard]] double deg(std::int64_t placed) const;

    SweepPlan plan_;
    std::vector<SweepRow> rows_;
    std::vector<Leg> legs_;
    bool true_angles_ = false;
    bool unmarked_left_out_ = false;
    std::uint32_t epoch_ = 0;                  // the rig's current one
    std::optional<std::int64_t> begun_count_;  // where angles are counted from while provisional
    std::optional<std::int64_t> furthest_;     // placed counts, in the running direction
};

}  // namespace lobewright
