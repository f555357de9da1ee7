#include "rig/model/motion_program.hpp"

#include <cmath>

#include "analysis/constants.hpp"

namespace lobewright {

namespace {

Motion cycloidal(double x) {
    return {x - std::sin(two_pi * x) / two_pi, 1.0 - std::cos(two_pi * x), two_pi * std::sin(two_pi * x)};
}

Motion polynomial_345(double x) {
    const double x2 = x * x;
    return {x2 * x * (10.0 + x * (-15.0 + 6.0 * x)), x2 * (30.0 + x * (-60.0 + 30.0 * x)),
            x * (60.0 + x * (-180.0 + 120.0 * x))};
}

Motion polynomial_4567(double x) {
    const double x2 = x * x;
    return {x2 * x2 * (35.0 + x * (-84.0 + x * (70.0 - 20.0 * x))),
            x2 * x * (140.0 + x * (-420.0 + x * (420.0 - 140.0 * x))),
            x2 * (420.0 + x * (-1680.0 + x * (2100.0 - 840.0 * x)))};
}

// s = sum of C_k xi^k over k = 0, 2, 10, 12, 14 with C_0 = 1 and sum C_k k^m = 0 for m = 0..3 (s, v, a and
// jerk vanish at xi = 1). Those are the conditions on the weights of a divided difference over the nodes k,
// hence C_k = product over j != 0 of (0 - j), divided by product over j != k of (k - j).
constexpr double power_weight(double k, double j1, double j2, double j3) {
    return (2.0 * 10.0 * 12.0 * 14.0) / (k * (k - j1) * (k - j2) * (k - j3));
}

Motion nose_polynomial(double xi) {
    constexpr double c2 = power_weight(2, 10, 12, 14);
    constexpr double c10 = power_weight(10, 2, 12, 14);
    constexpr double c12 = power_weight(12, 2, 10, 14);
    constexpr double c14 = power_weight(14, 2, 10, 12);
    const double q = xi * xi;
    const double q4 = (q * q) * (q * q);
    return {1.0 + c2 * q + q4 * q * (c10 + q * (c12 + q * c14)),
            xi * (2.0 * c2 + q4 * (10.0 * c10 + q * (12.0 * c12 + q * 14.0 * c14))),
            2.0 * c2 + q4 * (90.0 * c10 + q * (132.0 * c12 + q * 182.0 * c14))};
}

Motion rise(MotionProgram program, double x) {
    if (program == MotionProgram::cycloidal) return cycloidal(x);
    if (program == MotionProgram::polynomial_345) return polynomial_345(x);
    return polynomial_4567(x);
}

}  // namespace

Motion smooth_step(double x) {
    if (x <= 0.0) return {};
    if (x >= 1.0) return {1.0, 0.0, 0.0};
    return polynomial_345(x);
}

Motion event_motion(MotionProgram program, double xi) {
    if (!(std::fabs(xi) < 1.0)) return {};
    if (program == MotionProgram::nose_polynomial) return nose_polynomial(xi);
    Motion motion = rise(program, 1.0 - std::fabs(xi));
    if (xi > 0.0) motion.v = -motion.v;
    return motion;
}

}  // namespace lobewright
