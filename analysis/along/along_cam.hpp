// along_cam.hpp: nose wear against the lobes' places along the cam: one that stands out, a rise toward one end, wear that
// alternates. Oil reaches the lobes unevenly along an engine, so that differences are normal; what is named here is
// suspicion and not fact (common practice, no source).
//
// Stands out  modified z score 0.6745 (x - median)/MAD above 3.5 (B. Iglewicz and D. C. Hoaglin, "How to Detect and Handle
//             Outliers", 1993, from memory), MAD not below what the figures' own noise makes, and the excess proved.
// Rises       Kendall's rank correlation of wear with place, two-sided at 5 % by its exact distribution (M. G. Kendall,
//             "Rank Correlation Methods", 1948, from memory), and the ends differ by more than their u95. Lobes that stand
//             out are left aside. Needs 5 lobes.
// Alternates  every lobe lies on the other side of the median than the one before; needs 6 lobes, and the two halves'
//             medians differ by more than their u95.
#pragma once

#include <string>
#include <vector>

#include "analysis/figures.hpp"
#include "analysis/measured.hpp"
#include "analysis/units.hpp"

namespace lobewright {

struct PlacedWear {
    std::string name;
    double z_mm = 0.0;  // from the cam's front
    Measured depth_mm;  // u95 of what differs from lobe to lobe is enough
};

enum class WearTrend { none, to_front, to_rear };

struct AlongCam {
    std::vector<std::string> outliers;
    WearTrend trend = WearTrend::none;
    bool alternates = false;
    std::vector<std::string> notes;  // the same in words, lengths in `units`
};

/// The nose wear of a compared cam, the front of the cam first; `lobes` are the used run's, in the figures' order.
std::vector<PlacedWear> placed_wear(const CamFigures& cam, const std::vector<Lobe>& lobes);

/// In any order; lobes whose wear isn't known are left out.
AlongCam along_cam(std::vector<PlacedWear> lobes, Units units);

/// Probability that n values in random order have a rank sum |S| (concordant less discordant pairs) at least this large.
double kendall_tail(std::size_t n, int s);

}  // namespace lobewright
