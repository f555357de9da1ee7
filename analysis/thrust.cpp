#include "analysis/thrust.hpp"

#include <algorithm>
#include <cmath>

namespace lobewright {
namespace {

constexpr double balanced_share = 0.2;

}  // namespace

ThrustFigures thrust_of(const std::vector<LobeFigures>& lobes, bool mastered) {
    ThrustFigures out;
    if (!mastered) return out;
    double net = 0.0, total = 0.0;
    bool any = false;
    for (const auto& lobe : lobes) {
        const double taper = 0.5 * (lobe.taper.opening_mm.value + lobe.taper.closing_mm.value);
        const double u = 0.5 * (lobe.taper.opening_mm.u95 + lobe.taper.closing_mm.u95);
        any = any || std::abs(taper) > u;
        net += taper;
        total += std::abs(taper);
    }
    if (!any || !(total > 0.0)) {
        out.pushes = Push::none;
        return out;
    }
    const double share = net / total;
    double alike = 0.0, own = 0.0;
    for (const auto& lobe : lobes) {
        const double taper = 0.5 * (lobe.taper.opening_mm.value + lobe.taper.closing_mm.value);
        const double u95 = 0.5 * (lobe.taper.opening_mm.u95 + lobe.taper.closing_mm.u95);
        // d share / d taper = (1 - share sign) / total. A taper not proved away from zero may have either sign.
        const double sign = std::abs(taper) <= u95 ? -std::copysign(1.0, share) : std::copysign(1.0, taper);
        const double per_mm = (1.0 - share * sign) / total,
                     own_u95 = std::min(lobe.taper.ramps_own_u95_mm, u95);
        // Datum and indicators are the same for all lobes: their errors go one way, so that the parts add as they are.
        alike += per_mm * std::sqrt(u95 * u95 - own_u95 * own_u95);
        own += per_mm * per_mm * own_u95 * own_u95;
    }
    out.share = {share, std::min(std::hypot(alike, std::sqrt(own)), 2.0)};
    out.pushes = std::abs(share) < balanced_share ? Push::balanced : share > 0.0 ? Push::rear : Push::front;
    return out;
}

}  // namespace lobewright
