// card_kinds.hpp: what a cam's lobes of one kind have in common, and which stand out from it (docs/card.md).
//
// Mean      with the mean of the lobes' u95: what the indicators err by stands in all lobes alike and isn't averaged out.
// Spread    standard deviation (n - 1) and largest less smallest, of the measured figures.
// Stands out  a lobe that differs from the mean of the others of its kind by more than twice its own u95 and by more
//           than the others let expect: Student's 95 % prediction interval for one more of them (JCGM 100 for the factor,
//           textbook for the interval, both from memory). At least three lobes are needed.
#pragma once

#include <string>
#include <vector>

#include "analysis/card/lobe_card.hpp"

namespace lobewright {

enum class CardQuantity { lift, duration, asymmetry, area, opening_velocity, closing_velocity };

struct KindFigure {
    CardQuantity quantity = CardQuantity::lift;
    double lift_mm = 0.0;             // of a duration
    int lobes = 0;                    // that have the figure
    Measured mean;                    // in the lobe card's unit
    double standard_deviation = 0.0;  // NaN for one lobe
    double range = 0.0;               // NaN for one lobe
};

struct StandOut {
    std::string lobe;
    CardQuantity quantity = CardQuantity::lift;
    double lift_mm = 0.0;  // of a duration
    Measured difference;   // from the mean of the others of its kind, in the lobe card's unit
};

struct KindCard {
    LobeKind kind = LobeKind::other;
    std::vector<KindFigure> figures;  // those that a lobe has
    std::vector<StandOut> stand_outs;
};

/// Intake, exhaust and other lobes, those there are.
std::vector<KindCard> kind_cards(const std::vector<LobeCard>& lobes);

}  // namespace lobewright
