// drawn_lobe.hpp: one lobe in closed form for tests of draws: 6 mm of lift between two 3-4-5 flanks of 60 degrees, an
// exactly round heel, no taper.
#pragma once

#include <cmath>

#include "made_run.hpp"

namespace lobewright::tests {

inline constexpr double drawn_lift_mm = 6.0;

inline double drawn_lobe_mm(double rad) {
    const double x = 1.0 - std::fabs(from_nose_deg(rad, 180.0)) / 60.0;
    return x > 0.0 ? drawn_lift_mm * x * x * x * (10.0 + x * (-15.0 + 6.0 * x)) : 0.0;
}

inline Run drawn_lobe_run(const Making& making = {}) {
    return made_run([](double rad, double) { return drawn_lobe_mm(rad); }, making);
}

inline double mean_of(const std::vector<double>& values) {
    double sum = 0.0;
    for (const double value : values) sum += value;
    return sum / static_cast<double>(values.size());
}

inline double sd_of(const std::vector<double>& values) {
    const double mean = mean_of(values);
    double squares = 0.0;
    for (const double value : values) squares += (value - mean) * (value - mean);
    return std::sqrt(squares / static_cast<double>(values.size() - 1));
}

}  // namespace lobewright::tests
