#include "analysis/contact/hertz.hpp"

#include <cmath>
#include <cstdint>
#include <numbers>
#include <stdexcept>

#include <boost/math/quadrature/gauss_kronrod.hpp>
#include <boost/math/special_functions/ellint_1.hpp>
#include <boost/math/special_functions/ellint_2.hpp>
#include <boost/math/tools/roots.hpp>

namespace lobewright {
namespace {

constexpr double pi = std::numbers::pi;
constexpr double longest_ellipse = 1e5;  // axis ratio; a cam's contacts stay below 100
constexpr double nearly_round = 1e-9;

struct Integrals {
    double first;   // K
    double second;  // E
};

Integrals elliptic_integrals(double axis_ratio) {
    const double modulus = std::sqrt(1.0 - 1.0 / (axis_ratio * axis_ratio));
    return {boost::math::ellint_1(modulus), boost::math::ellint_2(modulus)};
}

double root(const auto& f, double from, double to) {
    std::uintmax_t most_steps = 200;
    const auto [low, high] = boost::math::tools::toms748_solve(
        f, from, to, boost::math::tools::eps_tolerance<double>(50), most_steps);
    return 0.5 * (low + high);
}

double axis_ratio_of(double b_over_a) {
    if (b_over_a < 1.0 + nearly_round) return 1.0;
    const auto off = [b_over_a](double k) {
        const auto [first, second] = elliptic_integrals(k);
        return (k * k * second - first) / (first - second) - b_over_a;
    };
    // Close to 1 the ratio is as good as 1 and the expression 0/0.
    const double least = 1.0 + 0.5 * (b_over_a - 1.0) * 1e-3;
    return off(least) >= 0.0 ? least : root(off, least, longest_ellipse);
}

}  // namespace

double contact_modulus(const Elastic& one, const Elastic& other) {
    const auto compliance = [](const Elastic& body) {
        return (1.0 - body.poisson * body.poisson) / body.young_n_per_mm2;
    };
    return 1.0 / (compliance(one) + compliance(other));
}

HertzContact hertz_contact(double load_n, double radius_across_mm, double radius_along_mm,
                           double modulus_n_per_mm2) {
    if (!(load_n > 0.0) || !(radius_across_mm > 0.0) || !(radius_along_mm >= radius_across_mm) ||
        !(modulus_n_per_mm2 > 0.0) || !std::isfinite(load_n + radius_along_mm + modulus_n_per_mm2)) {
        throw std::domain_error("a contact needs a load, two radii in order and a modulus, all above zero");
    }
    const double a = 0.5 / radius_along_mm, b = 0.5 / radius_across_mm;
    const double k = axis_ratio_of(b / a);
    const auto [first, second] = elliptic_integrals(k);
    HertzContact out;
    out.half_width_mm = std::cbrt(1.5 * load_n * second / (pi * modulus_n_per_mm2 * (a + b) * k));
    out.half_length_mm = k * out.half_width_mm;
    out.peak_n_per_mm2 = 1.5 * load_n / (pi * out.half_length_mm * out.half_width_mm);
    out.approach_mm = out.peak_n_per_mm2 * out.half_width_mm * first / modulus_n_per_mm2;
    out.radius_along_mm = radius_along_mm;
    out.modulus_n_per_mm2 = modulus_n_per_mm2;
    return out;
}

double HertzContact::gap_mm(double y_mm) const {
    const double y = std::abs(y_mm);
    if (y <= half_length_mm) return 0.0;
    const double a2 = half_length_mm * half_length_mm, b2 = half_width_mm * half_width_mm;
    const double from = y * y - a2;
    // w = from + t^2 takes the bracket's zero and the far tail in one smooth sweep; t = s/(1 - s) makes it finite.
    const auto integrand = [&](double s) {
        const double t = s / (1.0 - s);
        const double w = from + t * t;
        const double bracket = t * t / (a2 + w);  // 1 - y^2/(a^2 + w)
        return bracket / std::sqrt((a2 + w) * (b2 + w) * w) * 2.0 * t / ((1.0 - s) * (1.0 - s));
    };
    const double integral =
        boost::math::quadrature::gauss_kronrod<double, 31>::integrate(integrand, 0.0, 1.0, 8, 1e-9);
    const double sunk = 0.5 * peak_n_per_mm2 * half_length_mm * half_width_mm / modulus_n_per_mm2 * integral;
    return 0.5 * y * y / radius_along_mm + sunk - approach_mm;
}

double HertzContact::reach_mm(double gap) const {
    if (!(gap > 0.0)) return half_length_mm;
    // Undeformed bodies part faster than pressed ones, by at most the approach.
    const double far =
        std::sqrt(half_length_mm * half_length_mm + 2.0 * radius_along_mm * (gap + approach_mm));
    return root([&](double y) { return gap_mm(y) - gap; }, half_length_mm, far);
}

}  // namespace lobewright
