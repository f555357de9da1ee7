// datum_estimate.hpp: findings of the front-to-rear zero, and what they say together (docs/measuring.md section 4).
//
// Every estimate is of the same figure: rear reading less front reading on a true parallel, which is to be taken off.
// Combined  mean weighted with 1/u^2, u = 1/sqrt(sum 1/u^2). Where the estimates scatter more than their u allow,
//           u grows by the Birge ratio sqrt(chi^2/(n - 1)) (R. T. Birge, Phys. Rev. 40 (1932), from memory); whether
//           they agree is judged by chi^2 at 95 %.
#pragma once

#include <string>
#include <vector>

namespace lobewright {

struct DatumEstimate {
    std::string source;  // for people: "bar", "end for end", "journals", ...
    double rear_minus_front_mm = 0.0;
    double u_mm = 0.0;  // standard uncertainty, > 0
};

struct CombinedDatum {
    double rear_minus_front_mm = 0.0;
    double u_mm = 0.0;
    double chi_squared = 0.0;
    int degrees_of_freedom = 0;
    double by_chance = 1.0;  // how often such estimates scatter this much or more when all is well
    bool agree = true;       // by_chance is 5 % or more
};

/// Throws std::domain_error for no estimate, or one whose u isn't more than 0.
CombinedDatum combined(const std::vector<DatumEstimate>& estimates);

}  // namespace lobewright
