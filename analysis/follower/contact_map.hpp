// contact_map.hpp: which point of one curve stands behind each point of another that was derived from it, so
// that uncertainties known on the first can be stated for the second.
//
// Model     output(theta_i) changes by gain_i times what the input changes by at the angle at_rad_i: exact to
//           first order where an envelope is formed, since moving the touching point itself costs nothing
//           (envelope theorem). A figure with weights w on the output has the weights M' w on the input, M
//           the map with the input read between two grid angles by linear interpolation.
// Accuracy  the weights are for uncertainties: exact on curves that are straight between grid angles, else
//           good to step^2/8 of the input's second derivative; set beside small changes carried through the
//           conversions themselves in tests/analysis/follower_contact_map_test.cpp.
#pragma once

#include <span>
#include <vector>

namespace lobewright {

struct ContactMap {
    std::vector<double> at_rad;  // angle on the input curve, per grid angle of the output; not wrapped
    std::vector<double> gain;    // d output / d input there, dimensionless
};

/// Weights on the input's grid that say the same as `weights` on the output's grid (both n long, per unit).
/// Throws std::domain_error when there are not as many weights as the map has points.
std::vector<double> pulled_back(const ContactMap& map, std::span<const double> weights);

}  // namespace lobewright
