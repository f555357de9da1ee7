// sisters.hpp: a cam without a reference run, each lobe held against its sisters: lobes of one kind that were ground to one
// profile. The best of them, angle by angle, stands for the new lobe.
//
// Families   noses laid over each other, two lobes of one kind are sisters when their flanks (15 to 60 % of the larger lift,
//            where wear is least) agree within `same_profile_mm`, root mean square, after the shift that fits them best. Lobes
//            that differ by design (a cam with two patterns, an odd pump eccentric) make families of their own: they aren't
//            called worn. One lobe whose flanks are a family's in smaller proportion may be wiped down or by design: nobody
//            can tell without a reference, so it is left open.
// Envelope   at each angle the highest of the family.
// Loss       the largest lift of the family less the lobe's own: lift lost at the least. The best of n is high by chance, too: u95 is
//            that of the range of n (Tukey's studentized range with known sigma), of which two have the usual sqrt(2).
// Blind      what all sisters have lost alike, and everything of a lobe without sisters.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "analysis/measured.hpp"
#include "analysis/run/run.hpp"
#include "analysis/units.hpp"

namespace lobewright {

/// A difference on the flanks that grinding and even wear leave between sisters; patterns that differ by design differ by
/// more. Common practice has no figure: chosen between 0.01 mm of wear and 0.1 mm of another pattern.
inline constexpr double same_profile_mm = 0.03;

/// One lobe as sisters see it.
struct SisterLobe {
    std::string name;
    LobeKind kind = LobeKind::other;
    std::vector<double> lift_mm;  // mid-width, on the grid
    double nose_at = 0.0;         // grid position of its centreline
    Measured largest_mm;          // its lift
};

struct SisterFinding {
    std::size_t family = 0;       // lobes of one family have one number
    std::size_t sisters = 0;      // beside itself
    Measured below_best_mm;       // lift lost at the least; unknown without sisters
    double deepest_mm = 0.0;      // below the envelope, anywhere on the event
    double deepest_at_deg = 0.0;  // from the nose, positive on the closing side
    // Without sisters, but its flanks are a family's, lower in proportion: wiped, or by design. below_best_mm then has no
    // finite u95.
    bool scaled_down = false;
    double off_profile_mm =
        0.0;  // of a lobe without sisters: what its flanks differ by from the nearest of its kind; 0: none
};

/// The range of n normal values of unit standard deviation that chance exceeds 5 times in 100.
double range_of_normal_95(std::size_t n);

/// One a lobe, in their order.
std::vector<SisterFinding> hold_against_sisters(const std::vector<SisterLobe>& lobes);

/// What that says to people: families, who stands lower, the odd one out, how far it can be trusted.
std::vector<std::string> sister_notes(const std::vector<SisterLobe>& lobes,
                                      const std::vector<SisterFinding>& findings, Units units);

}  // namespace lobewright
