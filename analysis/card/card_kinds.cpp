#include "analysis/card/card_kinds.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace lobewright {
namespace {

constexpr std::size_t least_to_stand_out = 3;

struct Named {
    const std::string* lobe;
    Measured figure;
};

/// Mean, standard deviation and range of all lobes but one (`without` past the end: of all).
struct CardSpread {
    double mean = 0.0;
    double u95 = 0.0;
    double standard_deviation = std::numeric_limits<double>::quiet_NaN();
    double range = std::numeric_limits<double>::quiet_NaN();
    double count = 0.0;
};

CardSpread spread_of(const std::vector<Named>& lobes, std::size_t without) {
    CardSpread out;
    double low = std::numeric_limits<double>::infinity(), high = -low;
    for (std::size_t i = 0; i < lobes.size(); ++i) {
        if (i == without) continue;
        const Measured& figure = lobes[i].figure;
        out.count += 1.0;
        out.mean += (figure.value - out.mean) / out.count;
        out.u95 += (figure.u95 - out.u95) / out.count;
        low = std::min(low, figure.value);
        high = std::max(high, figure.value);
    }
    if (out.count < 2.0) return out;
    double squares = 0.0;
    for (std::size_t i = 0; i < lobes.size(); ++i) {
        const double off = lobes[i].figure.value - out.mean;
        if (i != without) squares += off * off;
    }
    out.standard_deviation = std::sqrt(squares / (out.count - 1.0));
    out.range = high - low;
    return out;
}

void add_quantity(KindCard& card, CardQuantity quantity, double lift_mm, const std::vector<Named>& lobes) {
    if (lobes.empty()) return;
    const CardSpread all = spread_of(lobes, lobes.size());
    card.figures.push_back({quantity,
                            lift_mm,
                            static_cast<int>(lobes.size()),
                            {all.mean, all.u95},
                            all.standard_deviation,
                            all.range});
    if (lobes.size() < least_to_stand_out) return;
    for (std::size_t i = 0; i < lobes.size(); ++i) {
        const CardSpread others = spread_of(lobes, i);
        const double difference = lobes[i].figure.value - others.mean;
        const double expected = student_factor_95(others.count - 1.0) * others.standard_deviation *
                                std::sqrt(1.0 + 1.0 / others.count);
        if (std::abs(difference) <= std::max(expected, 2.0 * lobes[i].figure.u95)) continue;
        card.stand_outs.push_back({*lobes[i].lobe, quantity, lift_mm, {difference, lobes[i].figure.u95}});
    }
}

template <class Read>
std::vector<Named> known(const std::vector<const LobeCard*>& lobes, const Read& read) {
    std::vector<Named> out;
    for (const LobeCard* lobe : lobes) {
        const Measured figure = read(*lobe);
        if (figure.known()) out.push_back({&lobe->name, figure});
    }
    return out;
}

KindCard kind_card(LobeKind kind, const std::vector<const LobeCard*>& lobes) {
    KindCard out;
    out.kind = kind;
    const auto add = [&](CardQuantity quantity, double lift_mm, const auto& read) {
        add_quantity(out, quantity, lift_mm, known(lobes, read));
    };
    add(CardQuantity::lift, 0.0, [](const LobeCard& l) { return l.lift_mm; });
    for (std::size_t i = 0; i < lobes.front()->durations.size(); ++i) {
        add(CardQuantity::duration, lobes.front()->durations[i].lift_mm,
            [i](const LobeCard& l) { return l.durations[i].crank_deg; });
    }
    add(CardQuantity::asymmetry, 0.0, [](const LobeCard& l) { return l.asymmetry_crank_deg; });
    add(CardQuantity::area, 0.0, [](const LobeCard& l) { return l.area; });
    add(CardQuantity::opening_velocity, 0.0, [](const LobeCard& l) { return l.opening_velocity; });
    add(CardQuantity::closing_velocity, 0.0, [](const LobeCard& l) { return l.closing_velocity; });
    return out;
}

}  // namespace

std::vector<KindCard> kind_cards(const std::vector<LobeCard>& lobes) {
    std::vector<KindCard> out;
    for (const LobeKind kind : {LobeKind::intake, LobeKind::exhaust, LobeKind::other}) {
        std::vector<const LobeCard*> of_kind;
        for (const LobeCard& lobe : lobes) {
            if (lobe.kind == kind) of_kind.push_back(&lobe);
        }
        if (!of_kind.empty()) out.push_back(kind_card(kind, of_kind));
    }
    return out;
}

}  // namespace lobewright
