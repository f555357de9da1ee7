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
    double u = 0.0;
    for (const auto& lobe : lobes) {
        const double taper = 0.5 * (lobe.taper.opening_mm.value + lobe.taper.closing_mm.value);
        const double u95 = 0.5 * (lobe.taper.opening_mm.u95 + lobe.taper.closing_mm.u95);
        // d share / d taper = (1 - share sign) / total. Datum and indicators are the same for all lobes:
        // their errors go one way, so that the parts add as they are. A taper not proved away from zero may
        // have either sign.
        const double sign = std::abs(taper) <= u95 ? -std::copysign(1.0, share) : std::copysign(1.0, taper);
        u += (1.0 - share * sign) * u95 / total;
    }
    out.share = {share, std::min(u, 2.0)};
    out.pushes = std::abs(share) < balanced_share ? Push::balanced : share > 0.0 ? Push::rear : Push::front;
    return out;
}

}  // namespace lobewright
