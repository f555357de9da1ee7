// card_cylinders.hpp: how the lobes of a cam stand to each other and to the crank: lobe separation, overlap, advance, and
// the index of each cylinder (docs/card.md).
//
// Separation  cam degrees from a cylinder's exhaust centreline to its intake centreline: half the crank angle.
// Overlap     crank degrees from where the intake opens to where the exhaust closes, at a lift; negative: a gap.
// Advance     separation less the intake centreline's crank degrees after top dead centre; positive: the intake comes
//             early. (These three: common practice, no source.)
// Index       how far a lobe's centreline stands from its place by even firing, crank degrees; positive: late. The
//             places are multiples of 720/n crank degrees, n the cylinders; the mean over all lobes of its kind is taken
//             as right.
// Dead centre of the cylinders besides the first is the nearest such multiple away from the first's, too.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "analysis/card/lobe_card.hpp"

namespace lobewright {

struct CardOverlap {
    double lift_mm = 0.0;
    Measured crank_deg;
};

struct CylinderCard {
    std::int64_t cylinder = 0;
    Measured separation_deg;
    std::vector<CardOverlap> overlaps;  // in the card's order of lifts
    Measured advance_crank_deg;         // unknown without top dead centre
    Measured intake_index_crank_deg;    // unknown with one cylinder, or where firing isn't even
    Measured exhaust_index_crank_deg;
};

/// The cylinders that have one intake and one exhaust lobe, by number. Given `tdc_deg`, the cam angle at which cylinder 1
/// stands at top dead centre between its exhaust and intake stroke, the lobes' angles after top dead centre are filled in
/// as well. What can't be said is added to `notes`.
std::vector<CylinderCard> cylinder_cards(std::vector<LobeCard>& lobes, const std::optional<double>& tdc_deg,
                                         std::vector<std::string>& notes);

}  // namespace lobewright
