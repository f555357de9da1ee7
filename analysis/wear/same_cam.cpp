#include "analysis/wear/same_cam.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>
#include <vector>

#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "analysis/units.hpp"

namespace lobewright {
namespace {

// Shares of the lift. Growth, burrs, noise and indicator errors stay under a fifth of `proud_share`; half of it would
// refuse a lobe whose heel wore by 0.05 mm, double would take a cam of 0.2 mm more lift for a worn one.
constexpr double proud_share = 0.02;
// Flanks that differ by less than this, rms, may be worn in any way; half would refuse a flank hollowed by 0.1 mm, double
// would judge a cam whose event is 8 degrees shorter.
constexpr double flanks_apart = 0.04;
// What a ramp's or a flank's share may exceed the nose's by, in proportion and beyond. Wear as the lift is has them equal.
constexpr double beyond_nose = 1.25;
constexpr double besides_nose = 0.02;
// Of its lift a lobe may have lost before it looks like another cam's; lobes of one kind that all lost so much are that
// cam's when their losses are alike to `alike_share` of them. Worn lobes' losses differ by tens of percent.
constexpr double wiped_share = 0.1;
constexpr double alike_share = 0.05;
// A lobe can't turn on the shaft; a slipped index or a backlash makes a few degrees, lobes in another order tens.
constexpr double most_turned_deg = 10.0;
constexpr double low_ramp = 0.05;  // of the lift: where the ramps begin to be read well

constexpr std::string_view what_to_check =
    "check that both runs are of the same cam, its lobes in the same order";

std::vector<double> mid_of(const Outline& outline) {
    std::vector<double> mid(grid_points);
    for (std::size_t g = 0; g < grid_points; ++g) mid[g] = 0.5 * (outline.front_mm[g] + outline.rear_mm[g]);
    return mid;
}

struct LossThere {
    double lost_share = 0.0;  // of the reference's lift there
    double rms_mm = 0.0;
};

/// Both sides of the nose where the reference's lift lies between two shares of its largest.
LossThere loss_between(const std::vector<double>& used, const std::vector<double>& reference, double low_mm,
                       double high_mm) {
    double lost = 0.0, lift = 0.0, squares = 0.0, count = 0.0;
    for (std::size_t g = 0; g < grid_points; ++g) {
        if (reference[g] < low_mm || reference[g] > high_mm) continue;
        const double off = reference[g] - used[g];
        lost += off;
        lift += reference[g];
        squares += off * off;
        count += 1.0;
    }
    if (count == 0.0) return {};
    return {lost / lift, std::sqrt(squares / count)};
}

double most_above(const Outline& used, const Outline& reference) {
    double most = 0.0;
    for (std::size_t g = 0; g < grid_points; ++g) {
        most = std::max(
            {most, used.front_mm[g] - reference.front_mm[g], used.rear_mm[g] - reference.rear_mm[g]});
    }
    return most;
}

void refuse_proud(const std::string& name, const LaidOver& lobe, double top_mm) {
    if (most_above(lobe.used, lobe.reference) <= proud_share * top_mm) return;
    // Wear on one flank alone shifts the best fit: what no turn takes away counts.
    const double proud_mm = least_stock(lobe.reference, lobe.used, stock_shift).stock_mm;
    if (proud_mm <= proud_share * top_mm) return;
    throw DataError(fmt::format(
        "lobe '{}': the used lobe stands up to {:.2f} mm proud of the reference, and wear only takes "
        "metal away; {}",
        name, proud_mm, what_to_check));
}

double lost_share(const LobeFigures& lobe) {
    return lobe.lift.loss_mm.value / lobe.lift.reference_mm.value;
}

void refuse_turned_lobes(const CamFigures& cam) {
    std::vector<double> off_deg;  // from the first lobe, so that they don't wrap
    off_deg.reserve(cam.lobes.size());
    for (const LobeFigures& lobe : cam.lobes)
        off_deg.push_back(wrapped_deg(lobe.phase_shift_deg.value - cam.lobes.front().phase_shift_deg.value));
    std::vector<double> sorted = off_deg;
    std::sort(sorted.begin(), sorted.end());
    const double middle = sorted[sorted.size() / 2];
    for (std::size_t i = 0; i < off_deg.size(); ++i) {
        const double turned = std::abs(wrapped_deg(off_deg[i] - middle));
        if (turned <= most_turned_deg) continue;
        throw DataError(fmt::format(
            "lobe '{}': it stands {:.0f} deg from where the other lobes put it in the reference; {}",
            cam.lobes[i].name, turned, what_to_check));
    }
}

void refuse_alike(const CamFigures& cam, LobeKind kind) {
    std::vector<double> shares;
    for (const LobeFigures& lobe : cam.lobes) {
        if (lobe.kind == kind) shares.push_back(lost_share(lobe));
    }
    if (shares.size() < 2) return;
    const auto [least, most] = std::minmax_element(shares.begin(), shares.end());
    if (*least < wiped_share || *most - *least > alike_share * *most) return;
    const auto first = std::find_if(cam.lobes.begin(), cam.lobes.end(),
                                    [&](const LobeFigures& lobe) { return lobe.kind == kind; });
    throw DataError(fmt::format(
        "lobe '{}' and all others of its kind lift {:.0f} % less than in the reference, which wear doesn't "
        "do so evenly; {}",
        first->name, 100.0 * *least, what_to_check));
}

}  // namespace

void check_same_lobe(const std::string& name, const LaidOver& lobe) {
    const double top_mm = lobe.reference_marks.peak.value;
    refuse_proud(name, lobe, top_mm);
    const auto used = mid_of(lobe.used), reference = mid_of(lobe.reference);
    const LossThere flanks = loss_between(used, reference, 0.2 * top_mm, 0.8 * top_mm);
    if (flanks.rms_mm <= flanks_apart * top_mm) return;
    const LossThere ramps = loss_between(used, reference, low_ramp * top_mm, 0.2 * top_mm);
    const double nose = std::max(0.0, 1.0 - peak_of(used).value / top_mm);
    if (std::max(flanks.lost_share, ramps.lost_share) <= beyond_nose * nose + besides_nose) return;
    throw DataError(fmt::format(
        "lobe '{}': used and reference flanks differ by {:.2f} mm, more than its nose lost in proportion; "
        "wear isn't like that: {}",
        name, flanks.rms_mm, what_to_check));
}

void check_same_cam(CamFigures& cam) {
    if (cam.lobes.empty()) return;
    refuse_turned_lobes(cam);
    for (const LobeKind kind : {LobeKind::intake, LobeKind::exhaust, LobeKind::other})
        refuse_alike(cam, kind);
    for (LobeFigures& lobe : cam.lobes) {
        if (lost_share(lobe) < wiped_share) continue;
        lobe.notes.push_back(fmt::format(
            "it lost {:.0f} % of its lift, all round as a wiped lobe does; if this isn't that lobe, the two "
            "runs are of different cams",
            100.0 * lost_share(lobe)));
    }
}

}  // namespace lobewright
