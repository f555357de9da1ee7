// tappet_contact.hpp: where a crowned tappet touches a tapered lobe at one angle, and what that does.
//
// Along z   the gap between a crown of radius Rc about the tappet's axis and a lobe that rises by the slope s is
//           z^2/(2 Rc) - s z: least at Rc s toward the high side, where the middle of the contact lies. From there Hertz's
//           ellipse (hertz.hpp) reaches half its length either way, until the lobe ends.
// Round     a flat tappet touches h' (mm per rad) off its axis (geometry, derived: docs/measuring.md section 6).
// Torque    sliding drags the tappet along the lobe's motion; off the axis along z by the arm that drag turns it.
// Push      the load stands square on the surface: load x slope along the cam, on the cam toward the high side.
// Band      what running polishes is what comes within `polished_mm` of touching: contact and a seam beside it. How wide
//           the seam is hangs on the oil film; the thicker, the narrower (common practice, no source for the figure).
// Limits    an ellipse that passes the lobe's edge isn't Hertz's any more: pressure there is higher than said.
#pragma once

#include <optional>

namespace lobewright {

/// What stands still over the lobe. `modulus_n_per_mm2` is E* of both (hertz.hpp).
struct CrownedTappet {
    double crown_radius_mm = 0.0;
    std::optional<double> diameter_mm;
    double modulus_n_per_mm2 = 0.0;
};

/// The lobe under it at one angle.
struct LobePoint {
    double radius_mm = 0.0;  // of curvature
    double slope = 0.0;      // rise per length along z, positive to the rear
    double velocity = 0.0;   // h', mm per rad
    double width_mm = 0.0;
    double load_n = 0.0;
};

/// Places along z from the lobe's middle, which the tappet's axis is taken to stand over; positive to the rear.
struct TappetContact {
    double centre_mm = 0.0;  // the torque's arm, too
    double from_mm = 0.0;    // of what touches
    double to_mm = 0.0;
    double band_from_mm = 0.0;  // of what is polished
    double band_to_mm = 0.0;
    double half_width_mm = 0.0;  // round the lobe
    double peak_n_per_mm2 = 0.0;
    bool past_edge = false;  // the ellipse would reach past the lobe's edge
    double push_n = 0.0;     // on the cam, positive to the rear
    double reach_mm = 0.0;   // of the contact from the tappet's axis
};

/// `polished_mm` as above. Throws std::domain_error for a load or radius that isn't above zero (hertz_contact).
TappetContact tappet_contact(const CrownedTappet& tappet, const LobePoint& at, double polished_mm);

}  // namespace lobewright
