#include "analysis/along/along_cam.hpp"

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "analysis/constants.hpp"
#include "analysis/judge/wording.hpp"

namespace lobewright {
namespace {

constexpr double mad_to_sigma = 0.6744897501960817;  // quartile of the normal distribution
constexpr double stands_out = 3.5;
constexpr double chance = 0.05;
constexpr std::size_t least_for_outliers = 4;
constexpr std::size_t least_for_trend = 5;
constexpr std::size_t least_for_alternation = 6;

using Lobes = std::vector<PlacedWear>;

double median(std::vector<double> values) {
    const std::size_t half = values.size() / 2;
    std::sort(values.begin(), values.end());
    return values.size() % 2 == 1 ? values[half] : 0.5 * (values[half - 1] + values[half]);
}

double median_depth(const Lobes& lobes) {
    std::vector<double> depths;
    depths.reserve(lobes.size());
    for (const PlacedWear& lobe : lobes) depths.push_back(lobe.depth_mm.value);
    return median(std::move(depths));
}

double median_u95(const Lobes& lobes) {
    std::vector<double> all;
    all.reserve(lobes.size());
    for (const PlacedWear& lobe : lobes) all.push_back(lobe.depth_mm.u95);
    return median(std::move(all));
}

/// Splits off the lobes that stand out; what is left keeps its order.
Lobes take_outliers(Lobes& lobes) {
    Lobes out;
    if (lobes.size() < least_for_outliers) return out;
    const double middle = median_depth(lobes);
    std::vector<double> off;
    off.reserve(lobes.size());
    for (const PlacedWear& lobe : lobes) off.push_back(std::abs(lobe.depth_mm.value - middle));
    const double spread = std::max(median(std::move(off)), mad_to_sigma * median_u95(lobes) / normal_95);
    const auto is_out = [&](const PlacedWear& lobe) {
        const double above = lobe.depth_mm.value - middle;
        return mad_to_sigma * above > stands_out * spread && above > lobe.depth_mm.u95;
    };
    std::copy_if(lobes.begin(), lobes.end(), std::back_inserter(out), is_out);
    std::erase_if(lobes, is_out);
    return out;
}

WearTrend trend_of(const Lobes& lobes) {
    if (lobes.size() < least_for_trend) return WearTrend::none;
    int s = 0;
    for (std::size_t i = 0; i < lobes.size(); ++i) {
        for (std::size_t j = i + 1; j < lobes.size(); ++j) {
            const double rise = lobes[j].depth_mm.value - lobes[i].depth_mm.value;
            s += rise > 0.0 ? 1 : rise < 0.0 ? -1 : 0;
        }
    }
    if (kendall_tail(lobes.size(), s) > chance) return WearTrend::none;
    // Thirds at either end, so that one lobe doesn't decide.
    const auto third = static_cast<std::ptrdiff_t>(std::max<std::size_t>(1, lobes.size() / 3));
    const double front = median_depth({lobes.begin(), lobes.begin() + third});
    const double rear = median_depth({lobes.end() - third, lobes.end()});
    if (std::abs(rear - front) <= std::sqrt(2.0) * median_u95(lobes)) return WearTrend::none;
    return rear > front ? WearTrend::to_rear : WearTrend::to_front;
}

bool does_alternate(const Lobes& lobes) {
    if (lobes.size() < least_for_alternation) return false;
    const double middle = median_depth(lobes);
    std::vector<double> high, low;
    for (std::size_t i = 0; i < lobes.size(); ++i) {
        const bool above = lobes[i].depth_mm.value > middle;
        if (i > 0 && above == (lobes[i - 1].depth_mm.value > middle)) return false;
        (above ? high : low).push_back(lobes[i].depth_mm.value);
    }
    return median(std::move(high)) - median(std::move(low)) > std::sqrt(2.0) * median_u95(lobes);
}

/// "1I 0.010, 2E 0.012".
std::string say(const Lobes& lobes, Units units) {
    std::vector<std::string> said;
    said.reserve(lobes.size());
    for (const PlacedWear& lobe : lobes)
        said.push_back(fmt::format("{} {}", lobe.name, say_cell(lobe.depth_mm.value, units)));
    return fmt::format("{}", fmt::join(said, ", "));
}

Lobes neighbours(const Lobes& all, const PlacedWear& of) {
    Lobes out;
    for (std::size_t i = 0; i < all.size(); ++i) {
        if (all[i].name != of.name) continue;
        if (i > 0) out.push_back(all[i - 1]);
        if (i + 1 < all.size()) out.push_back(all[i + 1]);
    }
    return out;
}

void say_outliers(AlongCam& out, const Lobes& outliers, const Lobes& all, Units units) {
    for (const PlacedWear& lobe : outliers) {
        out.outliers.push_back(lobe.name);
        out.notes.push_back(fmt::format(
            "finding: {} wore {} at the nose, out of line with the other lobes (beside it {}): look at its "
            "tappet, that "
            "tappet's bore, and the oil there",
            lobe.name, say_rounded(lobe.depth_mm.value, units), say(neighbours(all, lobe), units)));
    }
}

}  // namespace

double kendall_tail(std::size_t n, int s) {
    // Orders of k values with i inversions: the last one put in makes 0 to k - 1 of them.
    std::vector<double> share{1.0};
    for (std::size_t k = 2; k <= n; ++k) {
        std::vector<double> next(share.size() + k - 1, 0.0);
        for (std::size_t i = 0; i < share.size(); ++i) {
            for (std::size_t more = 0; more < k; ++more) next[i + more] += share[i] / static_cast<double>(k);
        }
        share = std::move(next);
    }
    const int pairs = static_cast<int>(n * (n - 1) / 2);
    double tail = 0.0;
    for (std::size_t i = 0; i < share.size(); ++i) {
        if (std::abs(pairs - 2 * static_cast<int>(i)) >= std::abs(s)) tail += share[i];
    }
    return std::min(tail, 1.0);
}

std::vector<PlacedWear> placed_wear(const CamFigures& cam, const std::vector<Lobe>& lobes) {
    std::vector<PlacedWear> out;
    for (std::size_t i = 0; i < lobes.size(); ++i)
        out.push_back({lobes[i].name, lobes[i].z_mm, cam.lobes[i].wear.nose_depth_mm});
    std::stable_sort(out.begin(), out.end(), [](const auto& a, const auto& b) { return a.z_mm < b.z_mm; });
    return out;
}

AlongCam along_cam(std::vector<PlacedWear> lobes, Units units) {
    std::erase_if(lobes, [](const PlacedWear& lobe) {
        return !lobe.depth_mm.known() || !std::isfinite(lobe.depth_mm.u95);
    });
    std::stable_sort(lobes.begin(), lobes.end(),
                     [](const auto& a, const auto& b) { return a.z_mm < b.z_mm; });
    const Lobes all = lobes;
    AlongCam out;
    say_outliers(out, take_outliers(lobes), all, units);
    out.trend = trend_of(lobes);
    if (out.trend != WearTrend::none) {
        out.notes.push_back(
            fmt::format("wear rises toward the {} ({} at the front, {} at the rear): suspect less oil at "
                        "that end, less splash from "
                        "the rods there, or a bent cam",
                        out.trend == WearTrend::to_rear ? "rear" : "front",
                        say_rounded(lobes.front().depth_mm.value, units),
                        say_rounded(lobes.back().depth_mm.value, units)));
    }
    out.alternates = does_alternate(lobes);
    if (out.alternates) {
        out.notes.push_back(
            fmt::format("wear alternates from lobe to lobe ({}): suspect what alternates with it, oil past "
                        "every other tappet bore, or "
                        "springs that differ between intake and exhaust",
                        say(lobes, units)));
    }
    return out;
}

}  // namespace lobewright
