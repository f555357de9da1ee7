// card.hpp: what is written on the card that goes with a cam: durations, centrelines, lift, ramps, velocities, lobe
// separation, overlap and advance, from one run (docs/card.md defines every figure).
//
// Lobes     at mid-width, for the cam's own follower. Lengths in mm. Durations, overlaps, ramp lengths and areas count
//           crank degrees, 2 to a cam degree (four-stroke); positions round the cam are cam degrees of the run's own
//           angles, whose zero is arbitrary. Lobe separation is in cam degrees by custom.
// u95       by the weights of each figure on the lobe's curve (analysis/uncertainty). Figures of two lobes: the
//           indicators' error stands in both alike and adds in full, noise adds in squares.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "analysis/card/card_cylinders.hpp"
#include "analysis/card/card_kinds.hpp"
#include "analysis/card/lobe_card.hpp"
#include "analysis/run/run.hpp"
#include "analysis/support/bench_set_up.hpp"

namespace lobewright {

struct CardOptions {
    std::vector<double> lifts_mm;  // further lifts to state durations at
    std::optional<double>
        tdc_deg;  // cam angle at which cylinder 1 stands at top dead centre between its strokes
    BenchSetUp set_up;
    unsigned threads = 0;  // 0: as many as the machine has cores
};

struct Card {
    RunInfo run;
    CamInfo cam;
    Units units = Units::mm;       // the run's own
    std::vector<double> lifts_mm;  // rising: the two customary ones and those asked for
    std::optional<double> tdc_deg;
    std::optional<double> rocker_ratio;
    std::vector<LobeCard> lobes;          // in the run's order
    std::vector<CylinderCard> cylinders;  // by number; those with one intake and one exhaust lobe
    std::vector<KindCard> kinds;          // those there are: intake, exhaust, other
    std::vector<std::string> notes;
};

/// The card of one run. Throws UsageError for a lift that isn't above zero or an angle that isn't finite, and DataError
/// as prepare_runs and LobeAlone do, naming the lobe.
Card card_of(const Run& run, const CardOptions& options = {});

}  // namespace lobewright
