// top_place.hpp: where a lobe's lift is largest.
//
// Model     the velocity passes zero there. Where the velocity by neighbouring lifts (follower_motion.hpp) does is looked up
//           first; then the slope of a cubic over six degrees either side, which lets much less noise through and has
//           what the smoothing took given back, says how far off that is. On a corner, which a cubic can't follow, the
//           first stands.
#pragma once

#include "analysis/lobe/lobe_view.hpp"
#include "analysis/uncertainty/terms.hpp"

namespace lobewright {

/// Nearest the centreline. Grid position, with its terms in grid steps; unknown (NaN) on a top so flat that noise moves the
/// place by 5 degrees or more.
struct TopPlace {
    double position = 0.0;
    UncertaintyTerms terms;
};
TopPlace top_place(const LobeView& view);

}  // namespace lobewright
