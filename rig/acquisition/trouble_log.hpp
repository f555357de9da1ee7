// trouble_log.hpp: the troubles of one sweep: what comes again within a second is one trouble, and what a whole turn
// without it puts right is known as such. Throws nothing but std::bad_alloc.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "rig/acquisition/rig_event.hpp"
#include "rig/acquisition/sweep_trouble.hpp"
#include "rig/acquisition/turn_track.hpp"

namespace lobewright {

class TroubleLog {
public:
    /// Adds the trouble, or what is new of it to the same trouble a moment ago. Angles not wrapped.
    void tell(SweepTroubleKind kind, std::int64_t t_us, std::optional<Stretch> where, std::int64_t amount = 0,
              const std::string& says = {});

    /// An index mark went by: it has settled whether counts were lost, and it is there.
    void mark_went_by();

    /// Angles were counted from elsewhere until now.
    void shift(double by_deg);

    [[nodiscard]] bool has_open(SweepTroubleKind kind) const;
    [[nodiscard]] std::size_t size() const { return troubles_.size(); }

    /// All of them, those marked that the turn is whole without.
    [[nodiscard]] std::vector<SweepTrouble> all(const TurnTrack& track) const;

    /// Those that no further turning puts right.
    [[nodiscard]] std::vector<SweepTrouble> lasting() const;

private:
    std::vector<SweepTrouble> troubles_;
};

/// What a trouble of the rig is called in a sweep.
SweepTroubleKind kind_of(TroubleKind kind);

}  // namespace lobewright
