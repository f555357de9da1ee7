// turn_track.hpp: the turn so far, as the last forward pass over every angle: which stretches are covered, which were
// passed over without a reading, what was turned back, and how far readings of one angle differ a turn later. The rules of
// turning back are those by which a sweep is cleaned (docs/measuring.md section 1), so that what counts as covered here is
// what the analysis will use.
// Angles are cam degrees in the running direction, not wrapped; readings mm, NaN where there is none. Throws nothing.
#pragma once

#include <cstddef>
#include <cstdint>
#include <limits>
#include <vector>

namespace lobewright {

/// A stretch of the turn: `from_deg` in [0, 360), `to_deg` above it and up to a whole turn further.
struct Stretch {
    double from_deg = 0.0;
    double to_deg = 0.0;

    bool operator==(const Stretch&) const = default;
};

struct TrackPoint {
    double deg = 0.0;
    double front_mm = std::numeric_limits<double>::quiet_NaN();
    double rear_mm = std::numeric_limits<double>::quiet_NaN();
};

/// What a point meant.
enum class Step {
    first,
    follows,      // forward, next to the one before
    gap,          // forward, but further than the finest gap from the one before
    behind,       // the cam is behind where it was, or its backlash isn't taken up yet
    turned_back,  // the same, and this is the first point beyond the backlash
};

/// How readings differ from those of the same angle a turn before, mean over all that was read twice.
struct TurnDrift {
    std::size_t points = 0;
    double front_mm = 0.0;
    double rear_mm = 0.0;
};

class TurnTrack {
public:
    TurnTrack(double most_gap_deg, double most_back_deg);

    Step take(const TrackPoint& point);

    /// The end of the forward pass; the point before the last step. Both only after a first point.
    [[nodiscard]] double furthest_deg() const { return furthest_deg_; }
    /// Where the pass ended before the last point was taken.
    [[nodiscard]] double before_deg() const { return before_deg_; }
    [[nodiscard]] bool empty() const { return points_.empty(); }
    [[nodiscard]] const std::vector<TrackPoint>& points() const { return points_; }

    /// From the first point to the furthest.
    [[nodiscard]] double travel_deg() const {
        return points_.empty() ? 0.0 : furthest_deg_ - points_.front().deg;
    }

    /// How often each tenth of a degree of the turn is covered.
    [[nodiscard]] const std::vector<std::uint16_t>& passes() const { return passes_; }
    [[nodiscard]] TurnDrift drift() const;

private:
    void compare_with_last_turn(const TrackPoint& point);
    void drop_beyond(double deg);

    /// Tenths of a degree, counted over all turns, that a point brought with it; none when `last` is below `first`.
    struct Covered {
        double first, last;
        double covered_to;  // as it was before
    };
    void cover();
    void uncover();
    void count_passes(const Covered& tenths, int by);

    double most_gap_deg_;
    double most_back_deg_;
    std::vector<TrackPoint> points_;  // rising
    std::vector<Covered> covered_;    // by each point but the first
    std::vector<std::uint16_t> passes_;
    double covered_to_ = -std::numeric_limits<double>::infinity();
    double furthest_deg_ = 0.0;
    double before_deg_ = 0.0;
    double lowest_deg_ = 0.0;
    bool engaged_ = true;
    bool back_told_ = false;
    TurnDrift sums_;
    double last_compared_deg_ = -std::numeric_limits<double>::infinity();
};

/// The stretches that no pass covers, in tenths of a degree; what spans 0 is one stretch.
std::vector<Stretch> missing_stretches(const std::vector<std::uint16_t>& passes);

/// Degrees that are covered twice or more.
double overlap_deg(const std::vector<std::uint16_t>& passes);

/// Whether every tenth of a degree of the stretch is covered.
bool covers(const std::vector<std::uint16_t>& passes, const Stretch& stretch);

/// The angle in [0, 360).
double in_turn_deg(double deg);

}  // namespace lobewright
