#include "analysis/card/card_cylinders.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "analysis/constants.hpp"

namespace lobewright {
namespace {

// Farther from its place than this no lobe was ever ground: the firing distance is another.
constexpr double farthest_index_crank_deg = 10.0;
// Between these every four-stroke engine's lobes lie (common practice, no source); outside, something is mixed up.
constexpr double least_separation_deg = 70.0, most_separation_deg = 150.0;
constexpr double least_centreline_crank_deg = 50.0, most_centreline_crank_deg = 180.0;

struct Pair {
    std::int64_t cylinder = 0;
    LobeCard* intake = nullptr;
    LobeCard* exhaust = nullptr;
};

std::vector<Pair> pairs_of(std::vector<LobeCard>& lobes, std::vector<std::string>& notes) {
    struct Lobes {
        std::vector<LobeCard*> intake, exhaust;
    };
    std::map<std::int64_t, Lobes> by_cylinder;
    bool without = false;
    for (LobeCard& lobe : lobes) {
        if (lobe.kind == LobeKind::other) continue;
        if (!lobe.cylinder) {
            without = true;
            continue;
        }
        auto& there = by_cylinder[*lobe.cylinder];
        (lobe.kind == LobeKind::intake ? there.intake : there.exhaust).push_back(&lobe);
    }
    std::vector<Pair> pairs;
    std::vector<std::int64_t> others;
    for (const auto& [cylinder, there] : by_cylinder) {
        if (there.intake.size() == 1 && there.exhaust.size() == 1) {
            pairs.push_back({cylinder, there.intake.front(), there.exhaust.front()});
        } else {
            others.push_back(cylinder);
        }
    }
    if (without) {
        notes.emplace_back(
            "a lobe without its cylinder ([[lobe]] cylinder) has no part in separation, overlap, advance and "
            "index");
    }
    if (!others.empty()) {
        notes.push_back(
            fmt::format("cylinder {}: not one intake and one exhaust lobe, so no separation, overlap, "
                        "advance or index",
                        fmt::join(others, ", ")));
    }
    return pairs;
}

Measured separation(const Pair& pair) {
    const auto terms = combined_terms(pair.intake->nose_deg.terms, 1.0, pair.exhaust->nose_deg.terms, 1.0);
    return {wrapped_deg(pair.intake->nose_deg.measured.value - pair.exhaust->nose_deg.measured.value),
            terms.expanded()};
}

Measured overlap(const CardDuration& intake, const CardDuration& exhaust) {
    if (!intake.crank_deg.known() || !exhaust.crank_deg.known()) return {};
    const auto terms =
        combined_terms(intake.opens_deg.terms, crank_per_cam, exhaust.closes_deg.terms, crank_per_cam);
    return {crank_per_cam * wrapped_deg(exhaust.closes_deg.measured.value - intake.opens_deg.measured.value),
            terms.expanded()};
}

/// Midway between the two centrelines: near the cylinder's top dead centre.
double between_deg(const Pair& pair) {
    return pair.exhaust->nose_deg.measured.value + 0.5 * separation(pair).value;
}

/// An angle's distance from the nearest multiple of `step`.
double off_multiple(double deg, double step) {
    return deg - step * std::round(deg / step);
}

/// Index of one kind's lobes, in the order of `lobes`; all unknown where one is far off its place.
std::vector<Measured> index_of(const std::vector<const LobeCard*>& lobes, double step_deg) {
    const double first = lobes.front()->nose_deg.measured.value;
    const auto n = static_cast<double>(lobes.size());
    std::vector<double> off;
    double mean = 0.0;
    for (const LobeCard* lobe : lobes) {
        off.push_back(off_multiple(lobe->nose_deg.measured.value - first, step_deg));
        mean += off.back() / n;
    }
    std::vector<Measured> out;
    for (std::size_t i = 0; i < lobes.size(); ++i) {
        double squares = 0.0;
        for (std::size_t j = 0; j < lobes.size(); ++j) {
            const double weight = (i == j ? 1.0 : 0.0) - 1.0 / n;
            squares += weight * weight * lobes[j]->nose_deg.measured.u95 * lobes[j]->nose_deg.measured.u95;
        }
        const double value = crank_per_cam * (off[i] - mean);
        if (std::abs(value) > farthest_index_crank_deg) return std::vector<Measured>(lobes.size());
        out.push_back({value, crank_per_cam * std::sqrt(squares)});
    }
    return out;
}

Measured after_deg(const Measured& cam_deg, double dead_centre_deg) {
    if (!cam_deg.known()) return {};
    return {crank_per_cam * wrapped_deg(cam_deg.value - dead_centre_deg), crank_per_cam * cam_deg.u95};
}

void add_angles(LobeCard& lobe, double dead_centre_deg) {
    lobe.centreline_crank_deg = after_deg(lobe.nose_deg.measured, dead_centre_deg);
    for (CardDuration& duration : lobe.durations) {
        duration.opens_crank_deg = after_deg(duration.opens_deg.measured, dead_centre_deg);
        duration.closes_crank_deg = after_deg(duration.closes_deg.measured, dead_centre_deg);
    }
}

void add_index(std::vector<CylinderCard>& cards, const std::vector<Pair>& pairs, double step_deg,
               std::vector<std::string>& notes) {
    std::vector<const LobeCard*> intake, exhaust;
    for (const Pair& pair : pairs) {
        intake.push_back(pair.intake);
        exhaust.push_back(pair.exhaust);
    }
    const auto intake_index = index_of(intake, step_deg), exhaust_index = index_of(exhaust, step_deg);
    for (std::size_t i = 0; i < cards.size(); ++i) {
        cards[i].intake_index_crank_deg = intake_index[i];
        cards[i].exhaust_index_crank_deg = exhaust_index[i];
    }
    if (!intake_index.front().known() || !exhaust_index.front().known()) {
        notes.push_back(fmt::format(
            "index can't be known: the centrelines don't stand at multiples of {:.0f} crank degrees; the "
            "cylinders' numbers in run.toml aren't the engine's, or it doesn't fire evenly",
            crank_per_cam * step_deg));
    }
}

void add_advance(std::vector<CylinderCard>& cards, const std::vector<Pair>& pairs, double tdc_deg,
                 double step_deg, std::vector<std::string>& notes) {
    if (pairs.front().cylinder != 1) {
        notes.emplace_back(
            "advance can't be known: --tdc is cylinder 1's, and no intake and exhaust lobe are its");
        return;
    }
    const Measured centre = after_deg(pairs.front().intake->nose_deg.measured, tdc_deg);
    if (centre.value < least_centreline_crank_deg || centre.value > most_centreline_crank_deg) {
        notes.push_back(
            fmt::format("advance is left out: cylinder 1's intake centreline would stand {:.0f} crank "
                        "degrees after --tdc; that "
                        "isn't the top dead centre between its exhaust and intake stroke",
                        centre.value));
        return;
    }
    const double first = between_deg(pairs.front());
    for (std::size_t i = 0; i < pairs.size(); ++i) {
        const double turned = step_deg * std::round((between_deg(pairs[i]) - first) / step_deg);
        add_angles(*pairs[i].intake, tdc_deg + turned);
        add_angles(*pairs[i].exhaust, tdc_deg + turned);
        // Separation i - e less twice the intake's own angle: -(i + e) and twice dead centre.
        const auto terms =
            combined_terms(pairs[i].intake->nose_deg.terms, 1.0, pairs[i].exhaust->nose_deg.terms, 1.0);
        cards[i].advance_crank_deg = {
            cards[i].separation_deg.value - pairs[i].intake->centreline_crank_deg.value, terms.expanded()};
    }
}

}  // namespace

std::vector<CylinderCard> cylinder_cards(std::vector<LobeCard>& lobes, const std::optional<double>& tdc_deg,
                                         std::vector<std::string>& notes) {
    const std::vector<Pair> pairs = pairs_of(lobes, notes);
    std::vector<CylinderCard> cards;
    std::vector<std::int64_t> odd;
    for (const Pair& pair : pairs) {
        CylinderCard card;
        card.cylinder = pair.cylinder;
        card.separation_deg = separation(pair);
        for (std::size_t i = 0; i < pair.intake->durations.size(); ++i) {
            card.overlaps.push_back({pair.intake->durations[i].lift_mm,
                                     overlap(pair.intake->durations[i], pair.exhaust->durations[i])});
        }
        const double apart = card.separation_deg.value;
        if (apart < least_separation_deg || apart > most_separation_deg) odd.push_back(pair.cylinder);
        cards.push_back(std::move(card));
    }
    if (!odd.empty()) {
        notes.push_back(
            fmt::format("cylinder {}: the intake lobe doesn't follow its exhaust lobe by {:.0f} to {:.0f} "
                        "cam degrees; check kind, cylinder and direction in run.toml",
                        fmt::join(odd, ", "), least_separation_deg, most_separation_deg));
    }
    if (pairs.empty()) return cards;
    std::int64_t cylinders = static_cast<std::int64_t>(pairs.size());
    for (const LobeCard& lobe : lobes) cylinders = std::max(cylinders, lobe.cylinder.value_or(0));
    const double step_deg = 360.0 / static_cast<double>(cylinders);
    if (pairs.size() > 1) add_index(cards, pairs, step_deg, notes);
    if (tdc_deg) {
        add_advance(cards, pairs, *tdc_deg, step_deg, notes);
    } else {
        notes.emplace_back(
            "advance, and where valves open and close by the crank, can't be known: give --tdc, the cam "
            "angle at "
            "which cylinder 1 stands at top dead centre between its exhaust and intake stroke");
    }
    return cards;
}

}  // namespace lobewright
