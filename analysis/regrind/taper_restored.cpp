#include "analysis/regrind/taper_restored.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include <fmt/format.h>

namespace lobewright {
namespace {

/// Side of each lobe where only its place along the cam is known: rear and front in turn, from the front of the cam on.
std::vector<double> alternating(const std::vector<TaperKnown>& lobes) {
    std::vector<std::size_t> order(lobes.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return lobes[a].z_mm < lobes[b].z_mm; });
    std::vector<double> sides(lobes.size());
    for (std::size_t i = 0; i < order.size(); ++i) sides[order[i]] = i % 2 == 0 ? 1.0 : -1.0;
    return sides;
}

TaperRestored none_for(const TaperKnown& lobe, double tolerated_mm) {
    const bool has_none = !lobe.heel_mm || std::abs(*lobe.heel_mm) <= tolerated_mm;
    return {0.0, has_none, false, fmt::format("none: this follower wants none")};
}

}  // namespace

std::vector<TaperRestored> restore_taper(const std::vector<TaperKnown>& lobes, const CamInfo& cam,
                                         double least_mm, std::optional<double> asked_mm) {
    constexpr double same_mm =
        0.002;  // tapers nearer to each other than a datum bar tells apart are one taper
    const std::vector<double> in_turn = alternating(lobes);
    std::vector<TaperRestored> out;
    for (std::size_t i = 0; i < lobes.size(); ++i) {
        const TaperKnown& lobe = lobes[i];
        if (cam.follower != Follower::flat) {
            out.push_back(none_for(lobe, same_mm));
            continue;
        }
        const bool known = lobe.as_ground_mm && std::abs(*lobe.as_ground_mm) >= least_mm;
        const bool to_the_rear = cam.retention == Retention::none;
        const double as_it_was =
            known ? *lobe.as_ground_mm : customary_taper_per_mm * lobe.width_mm * in_turn[i];
        const double side = to_the_rear ? 1.0 : std::copysign(1.0, as_it_was);
        TaperRestored plan;
        plan.taper_mm = side * asked_mm.value_or(lobe.size_mm.value_or(std::abs(as_it_was)));
        plan.says = fmt::format("{}; {}",
                                asked_mm       ? "as asked for"
                                : lobe.size_mm ? "as the profile gives it"
                                : known        ? "as it was ground"
                                               : "common practice, no source",
                                to_the_rear ? "no thrust plate, so every high side goes to the rear"
                                : known     ? "the side it was ground to"
                                            : "sides in turn, so that the pushes cancel");
        if (lobe.heel_mm) {
            plan.kept = std::abs(plan.taper_mm - *lobe.heel_mm) <= same_mm;
        } else {
            plan.kept = !known || plan.taper_mm == *lobe.as_ground_mm;
            plan.heel_unknown = true;
        }
        out.push_back(std::move(plan));
    }
    return out;
}

}  // namespace lobewright
