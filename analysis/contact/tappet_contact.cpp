#include "analysis/contact/tappet_contact.hpp"

#include <algorithm>
#include <cmath>

#include "analysis/contact/hertz.hpp"

namespace lobewright {

TappetContact tappet_contact(const CrownedTappet& tappet, const LobePoint& at, double polished_mm) {
    const double across_mm = 1.0 / (1.0 / at.radius_mm + 1.0 / tappet.crown_radius_mm);
    const HertzContact hertz =
        hertz_contact(at.load_n, across_mm, tappet.crown_radius_mm, tappet.modulus_n_per_mm2);
    const double edge_mm = 0.5 * at.width_mm;
    const auto on_lobe = [edge_mm](double z_mm) { return std::clamp(z_mm, -edge_mm, edge_mm); };
    const double band_mm = hertz.reach_mm(polished_mm);
    TappetContact out;
    out.centre_mm = tappet.crown_radius_mm * at.slope;
    out.from_mm = on_lobe(out.centre_mm - hertz.half_length_mm);
    out.to_mm = on_lobe(out.centre_mm + hertz.half_length_mm);
    out.band_from_mm = on_lobe(out.centre_mm - band_mm);
    out.band_to_mm = on_lobe(out.centre_mm + band_mm);
    out.half_width_mm = hertz.half_width_mm;
    out.peak_n_per_mm2 = hertz.peak_n_per_mm2;
    out.past_edge = std::abs(out.centre_mm) + hertz.half_length_mm > edge_mm;
    out.push_n = at.load_n * at.slope;
    const double far_z_mm = std::max(std::abs(out.from_mm), std::abs(out.to_mm));
    // The ellipse's farthest point lies between its two tips; either alone is short by less than half its width.
    out.reach_mm = std::max(std::hypot(at.velocity, far_z_mm),
                            std::hypot(std::abs(at.velocity) + out.half_width_mm, on_lobe(out.centre_mm)));
    return out;
}

}  // namespace lobewright
