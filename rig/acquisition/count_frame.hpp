// count_frame.hpp: which of the rig's counts can be believed, and where count 0 is. Fed with every event of a rig, in
// sweeps and between them; legs are the pieces of its counting between one index mark and the next.
//
// Model. After power-up or a return counts are void: they are good among themselves, but where they begin is unknown. The
// first index mark passed in the running direction makes them absolute, backwards to the return as well, unless the
// controller begins to count anew there (a jump of more than a degree): count 0 is the mark. Every further mark must lie
// whole turns from the one before, +/-1 count; passed the other way it may differ by the width of the index pulse, one
// encoder line (4 counts). What lies more is off by a slip somewhere between the two marks: that leg is void and the new
// mark is count 0 (sources: docs/sweeping.md).
// Throws nothing.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include "rig/acquisition/rig_event.hpp"

namespace lobewright {

/// What an event did to the counting.
enum class FrameChange {
    none,
    begun,    // the rig answers (again): counts are void until the mark
    found,    // the first mark: the leg that ends here has its place now
    agrees,   // the mark lies where it should
    slipped,  // it doesn't: the leg that ends here is void
};

/// Counts between two marks (or from a return to the first mark, or from the last mark to now).
struct CountLeg {
    std::uint32_t epoch = 0;           // rises with each return of the rig
    std::optional<std::int64_t> zero;  // raw count of the mark; none while void
    bool marked_before = false;        // begins at a mark
    bool marked_after = false;         // ends at a mark that agreed
    bool slipped = false;              // the mark at its end didn't agree
};

class CountFrame {
public:
    /// `direction` +1: counts rise in the running direction. Without an index mark (`index` false) counts are taken as they
    /// come, and nothing relates those after a return to those before it.
    CountFrame(std::int64_t counts_per_rev, int direction, bool index = true);

    FrameChange take(const RigEvent& event);

    /// The leg that counts belong to now, and any leg so far.
    [[nodiscard]] std::size_t current() const { return legs_.size() - 1; }
    [[nodiscard]] const CountLeg& leg(std::size_t ordinal) const { return legs_[ordinal]; }

    [[nodiscard]] bool absolute() const { return legs_.back().zero.has_value(); }
    /// Counts that the last mark was off by, after `slipped`.
    [[nodiscard]] std::int64_t off_by() const { return off_by_; }
    /// The rig's encoder complained since the last mark.
    [[nodiscard]] bool in_doubt() const { return in_doubt_; }
    /// More than a turn went by without a mark since the last one, or since the return.
    [[nodiscard]] bool mark_missed() const { return mark_missed_; }
    [[nodiscard]] std::int64_t counts_per_rev() const { return counts_per_rev_; }
    [[nodiscard]] int direction() const { return direction_; }
    [[nodiscard]] bool has_index() const { return index_; }

    /// Counts still to turn to the next mark, where that is known.
    [[nodiscard]] std::optional<std::int64_t> to_next_mark() const;

private:
    FrameChange begin();
    FrameChange pass_mark(std::int64_t count);
    void begin_leg_at_mark(std::int64_t count, std::int64_t zero);
    void follow(std::int64_t count);

    std::int64_t counts_per_rev_;
    int direction_;
    bool index_;
    std::vector<CountLeg> legs_{CountLeg{}};
    std::int64_t off_by_ = 0;
    bool in_doubt_ = false;
    bool mark_missed_ = false;
    bool backward_ = false;  // the way the cam last moved
    std::optional<std::int64_t> last_;
    std::optional<std::int64_t> leg_from_;  // count that the travel of this leg is measured from
};

}  // namespace lobewright
