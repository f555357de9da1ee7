#include "rig/acquisition/turn_track.hpp"

#include <algorithm>
#include <cmath>

namespace lobewright {

namespace {

constexpr double tremble_deg = 0.1;  // a hand at rest, or a count on its edge, is no turning back
constexpr std::size_t bins = 3600;   // tenths of a degree
constexpr double bins_per_deg = bins / 360.0;

std::size_t bin_of(double deg) {
    return std::min(static_cast<std::size_t>(in_turn_deg(deg) * (bins / 360.0)), bins - 1);
}

double share(double from, double to, double at) {
    return to > from ? (at - from) / (to - from) : 0.0;
}

}  // namespace

double in_turn_deg(double deg) {
    const double turned = deg - 360.0 * std::floor(deg / 360.0);
    return turned < 360.0 ? turned : 0.0;
}

TurnTrack::TurnTrack(double most_gap_deg, double most_back_deg)
    : most_gap_deg_(most_gap_deg), most_back_deg_(most_back_deg), passes_(bins, 0) {}

Step TurnTrack::take(const TrackPoint& point) {
    if (points_.empty()) {
        furthest_deg_ = before_deg_ = lowest_deg_ = point.deg;
        points_.push_back(point);
        return Step::first;
    }
    before_deg_ = furthest_deg_;
    if (engaged_ && point.deg < furthest_deg_ - tremble_deg) {
        engaged_ = false;
        back_told_ = false;
        lowest_deg_ = point.deg;
    }
    if (!engaged_) {
        lowest_deg_ = std::min(lowest_deg_, point.deg);
        if (point.deg < std::min(lowest_deg_ + most_back_deg_, furthest_deg_)) {
            const bool tell = !back_told_ && lowest_deg_ < furthest_deg_ - most_back_deg_;
            back_told_ = back_told_ || tell;
            return tell ? Step::turned_back : Step::behind;
        }
        engaged_ = true;
        furthest_deg_ = point.deg;
    }
    drop_beyond(point.deg);
    const bool gap = !points_.empty() && point.deg - points_.back().deg > most_gap_deg_;
    if (gap) before_deg_ = points_.back().deg;
    compare_with_last_turn(point);
    points_.push_back(point);
    cover();
    furthest_deg_ = std::max(point.deg, furthest_deg_);
    return gap ? Step::gap : Step::follows;
}

/// What lies beyond a later forward point is passed over again: its earlier readings no longer count.
void TurnTrack::drop_beyond(double deg) {
    while (!points_.empty() && points_.back().deg > deg) {
        if (points_.size() > 1) uncover();
        points_.pop_back();
    }
}

/// Counts the tenths between the last two points, unless a gap lies there, each once however many points it holds.
void TurnTrack::cover() {
    if (points_.size() < 2) return;
    const double from = points_[points_.size() - 2].deg, to = points_.back().deg;
    Covered more{0.0, -1.0, covered_to_};
    if (to - from <= most_gap_deg_) {
        more.first = std::max(std::floor(from * bins_per_deg), covered_to_ + 1.0);
        more.last = std::floor(to * bins_per_deg);
        covered_to_ = std::max(covered_to_, more.last);
    }
    count_passes(more, 1);
    covered_.push_back(more);
}

void TurnTrack::uncover() {
    count_passes(covered_.back(), -1);
    covered_to_ = covered_.back().covered_to;
    covered_.pop_back();
}

void TurnTrack::count_passes(const Covered& tenths, int by) {
    for (int i = 0; tenths.first + i <= tenths.last; ++i) {
        std::uint16_t& pass = passes_[bin_of((tenths.first + i + 0.5) / bins_per_deg)];
        pass = static_cast<std::uint16_t>(pass + by);
    }
}

void TurnTrack::compare_with_last_turn(const TrackPoint& point) {
    const double then = point.deg - 360.0;
    if (points_.empty() || then < points_.front().deg || point.deg <= last_compared_deg_) return;
    const auto above = std::lower_bound(points_.begin(), points_.end(), then,
                                        [](const TrackPoint& p, double deg) { return p.deg < deg; });
    if (above == points_.begin() || above == points_.end()) return;
    const auto below = above - 1;
    if (above->deg - below->deg > most_gap_deg_) return;
    const double s = share(below->deg, above->deg, then);
    const double front_mm = point.front_mm - (below->front_mm + s * (above->front_mm - below->front_mm));
    const double rear_mm = point.rear_mm - (below->rear_mm + s * (above->rear_mm - below->rear_mm));
    ++sums_.points;
    sums_.front_mm += front_mm;
    sums_.rear_mm += rear_mm;
    last_compared_deg_ = point.deg;
}

TurnDrift TurnTrack::drift() const {
    TurnDrift mean = sums_;
    const auto n = static_cast<double>(sums_.points);
    mean.front_mm = sums_.points > 0 ? sums_.front_mm / n : 0.0;
    mean.rear_mm = sums_.points > 0 ? sums_.rear_mm / n : 0.0;
    return mean;
}

std::vector<Stretch> missing_stretches(const std::vector<std::uint16_t>& passes) {
    std::vector<Stretch> missing;
    const auto covered = std::find_if(passes.begin(), passes.end(), [](std::uint16_t n) { return n > 0; });
    if (covered == passes.end()) return {{0.0, 360.0}};
    const auto first = static_cast<std::size_t>(covered - passes.begin());
    const double tenth = 360.0 / static_cast<double>(passes.size());
    std::size_t open = 0;
    for (std::size_t step = 1; step <= passes.size(); ++step) {
        const std::size_t bin = (first + step) % passes.size();
        if (passes[bin] == 0) {
            ++open;
        } else if (open > 0) {
            const std::size_t from = (bin + passes.size() - open) % passes.size();
            missing.push_back({static_cast<double>(from) * tenth, static_cast<double>(from + open) * tenth});
            open = 0;
        }
    }
    std::sort(missing.begin(), missing.end(),
              [](const Stretch& a, const Stretch& b) { return a.from_deg < b.from_deg; });
    return missing;
}

double overlap_deg(const std::vector<std::uint16_t>& passes) {
    const auto twice = std::count_if(passes.begin(), passes.end(), [](std::uint16_t n) { return n > 1; });
    return static_cast<double>(twice) * 360.0 / static_cast<double>(passes.size());
}

bool covers(const std::vector<std::uint16_t>& passes, const Stretch& stretch) {
    const double tenth = 360.0 / static_cast<double>(passes.size());
    for (int i = 0; stretch.from_deg + (i + 0.5) * tenth < stretch.to_deg; ++i) {
        if (passes[bin_of(stretch.from_deg + (i + 0.5) * tenth)] == 0) return false;
    }
    return true;
}

}  // namespace lobewright
