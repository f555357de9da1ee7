// taper_restored.hpp: the taper that a reground lobe gets: how much, and which side high.
//
// Common practice, no source: flat tappets need taper, rollers and tappets set off centre want none. Without a thrust
// plate every high side goes to the rear, for the push of the taper is what holds the cam; with a plate or a button as
// the lobe was ground, and where that isn't known to the rear and the front in turn, so that the pushes cancel. The heel
// carries next to no load and doesn't wear: what taper it has is what the lobe was ground to.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "analysis/run/run.hpp"

namespace lobewright {

/// Taper of common practice where nobody knows what was ground: 0.025 mm over 12 mm of width, in the midst of what shops
/// name (0.018 to 0.05 mm across a lobe).
inline constexpr double customary_taper_per_mm = 0.025 / 12.0;

/// What is known of one lobe's taper as ground, mm over its width, positive = high to the rear.
struct TaperKnown {
    double z_mm = 0.0;                   // along the cam
    double width_mm = 0.0;               // of the lobe
    std::optional<double> as_ground_mm;  // by the target or the heel
    std::optional<double> heel_mm;       // of the used lobe, where mastered
    std::optional<double> size_mm = {};  // that the target profile gives
};

struct TaperRestored {
    double taper_mm = 0.0;
    bool kept = true;           // the taper the lobe has on its heel already: nothing more comes off for it
    bool heel_unknown = false;  // another taper than as ground, and nobody measured what the heel has
    std::string says;           // "0.022 mm, high to the rear, as it was ground": without the figure
};

/// The taper of every lobe. `least_mm` is the least ramp taper that turns a tappet, `asked_mm` the size that was asked
/// for, if any.
std::vector<TaperRestored> restore_taper(const std::vector<TaperKnown>& lobes, const CamInfo& cam,
                                         double least_mm, std::optional<double> asked_mm);

}  // namespace lobewright
