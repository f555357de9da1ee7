// same_cam.hpp: are two runs of one cam? Told by what wear can and can't do (docs/measuring.md section 5).
//
// Wear only takes metal away, and takes most of it where the load is greatest, at the nose. So a used lobe that stands
// proud of its reference, or whose ramps lost more of their lift than the nose did, is another lobe. A lobe of less lift
// at every angle may be a wiped one, and is judged as such, unless the cam says otherwise: all lobes of one kind don't
// lose half a millimetre alike, and none of them turns on its shaft.
#pragma once

#include <string>

#include "analysis/figures.hpp"
#include "analysis/lobe/lobe_view.hpp"
#include "analysis/wear/least_stock.hpp"

namespace lobewright {

/// One lobe of both runs, laid over each other on the used run's grid, mm above the base circle.
struct LaidOver {
    Outline used;
    Outline reference;
    const LobeLandmarks& reference_marks;
};

/// Throws DataError naming the lobe when what differs can't be wear.
void check_same_lobe(const std::string& name, const LaidOver& lobe);

/// Throws DataError when the compared lobes' phases or losses are those of another cam. Notes what only looks like it.
void check_same_cam(CamFigures& cam);

}  // namespace lobewright
