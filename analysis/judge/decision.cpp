#include "analysis/judge/decision.hpp"

#include <cmath>

namespace lobewright {

Proof prove(const Measured& figure, double limit, bool at_least) {
    if (!figure.known() || !std::isfinite(figure.u95)) return Proof::open;
    const double low = figure.value - figure.u95;
    const double high = figure.value + figure.u95;
    const bool good = at_least ? low >= limit : high <= limit;
    const bool bad = at_least ? high < limit : low > limit;
    if (good) return Proof::good;
    return bad ? Proof::bad : Proof::open;
}

std::vector<Ruling> deciding_rulings(const LobeJudgement& lobe) {
    std::vector<Ruling> deciding;
    for (const Proof proof : {Proof::bad, Proof::open}) {
        for (const Ruling& ruling : lobe.rulings) {
            if (ruling.proof == proof) deciding.push_back(ruling);
        }
    }
    if (deciding.empty() && !lobe.rulings.empty()) deciding.push_back(lobe.rulings.front());
    return deciding;
}

double room_used(const Ruling& ruling) {
    if (ruling.at_least) return ruling.limit_mm / (ruling.figure.value - ruling.figure.u95);
    return (ruling.figure.value + ruling.figure.u95) / ruling.limit_mm;
}

}  // namespace lobewright
