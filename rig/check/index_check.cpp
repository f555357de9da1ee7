#include "rig/check/index_check.hpp"

#include <algorithm>
#include <cmath>
#include <cstdlib>

namespace lobewright {
namespace {

/// `count` within its turn, from -half a turn up to half.
std::int64_t off_turn(std::int64_t count, std::int64_t counts_per_rev) {
    std::int64_t rest = count % counts_per_rev;
    if (rest >= (counts_per_rev + 1) / 2) rest -= counts_per_rev;
    if (rest < -counts_per_rev / 2) rest += counts_per_rev;
    return rest;
}

struct WayMark {
    std::int64_t count = 0;
    int way = 0;
    std::size_t part = 0;
};

/// The marks with the way in which the cam turned; a mark outside every one-way part is left out.
std::vector<WayMark> marks_with_way(const CheckStretch& stretch, const std::vector<OneWay>& parts) {
    std::vector<WayMark> marks;
    for (const RigIndex& mark : stretch.marks) {
        for (std::size_t i = 0; i < parts.size(); ++i) {
            const bool before_end =
                mark.t_us <= stretch.points[parts[i].to - 1].t_us || i + 1 == parts.size();
            if (!before_end) continue;
            if (mark.t_us >= stretch.points[parts[i].from].t_us || i == 0)
                marks.push_back({mark.count, parts[i].way, i});
            break;
        }
    }
    return marks;
}

/// Counts a turn that all distances agree on within a count, when they do and are not those told.
std::optional<std::int64_t> common_distance(const std::vector<std::int64_t>& distances) {
    if (distances.size() < 2) return std::nullopt;
    const auto [low, high] = std::minmax_element(distances.begin(), distances.end());
    if (*high - *low > 2) return std::nullopt;
    std::vector<std::int64_t> sorted = distances;
    std::nth_element(sorted.begin(), sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() / 2),
                     sorted.end());
    return sorted[sorted.size() / 2];
}

}  // namespace

IndexCheck check_index(const CheckRecord& record, std::int64_t counts_per_rev) {
    IndexCheck check;
    std::vector<std::int64_t> distances;  // between neighbours passed the same way without turning back
    double width_sum = 0.0;
    std::size_t widths = 0;
    for (const CheckStretch& stretch : record.stretches) {
        const auto parts = one_way_parts(stretch.points, reversal_counts(counts_per_rev));
        for (const OneWay& part : parts) {
            const std::int64_t way = stretch.points[part.to - 1].count - stretch.points[part.from].count;
            check.turns = std::max(check.turns,
                                   std::fabs(static_cast<double>(way)) / static_cast<double>(counts_per_rev));
        }
        check.marks += stretch.marks.size();
        const auto marks = marks_with_way(stretch, parts);
        for (std::size_t i = 0; i < marks.size(); ++i) {
            const auto same =
                std::find_if(marks.rbegin() + static_cast<std::ptrdiff_t>(marks.size() - i), marks.rend(),
                             [&](const WayMark& other) { return other.way == marks[i].way; });
            if (same != marks.rend()) {
                const std::int64_t miss = off_turn(marks[i].count - same->count, counts_per_rev);
                ++check.intervals;
                if (!check.worst_counts || std::abs(miss) > std::abs(*check.worst_counts))
                    check.worst_counts = miss;
                if (same->part == marks[i].part) distances.push_back(std::abs(marks[i].count - same->count));
            }
            if (i > 0 && marks[i - 1].way != marks[i].way) {
                const std::int64_t step = off_turn(marks[i].count - marks[i - 1].count, counts_per_rev);
                width_sum += static_cast<double>(marks[i].way > 0 ? step : -step);
                ++widths;
            }
        }
    }
    if (widths > 0) check.width_counts = width_sum / static_cast<double>(widths);
    if (check.worst_counts && std::abs(*check.worst_counts) > 1)
        check.counts_found = common_distance(distances);
    return check;
}

}  // namespace lobewright
