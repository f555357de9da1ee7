// hertz.hpp: two smooth elastic bodies pressed together: the ellipse that touches, the pressure on it, and the gap beside
// it.
//
// Model     near the contact the bodies part by x^2/(2 Rx) + y^2/(2 Ry), Rx <= Ry relative radii of curvature, 1/R the sum
//           of both bodies' curvatures. 1/E* = (1 - nu1^2)/E1 + (1 - nu2^2)/E2. With A = 1/(2 Ry), B = 1/(2 Rx) the axis
//           ratio k = a/b solves B/A = (k^2 E - K)/(K - E), K and E complete elliptic integrals of modulus^2 1 - 1/k^2;
//           b^3 = 3 W E/(2 pi E* (A + B) k), a = k b, p0 = 3 W/(2 pi a b), approach p0 b K/E*.
//           Outside the ellipse the surface lies at p0 a b/(2 E*) times the integral, from L to infinity, of
//           (1 - x^2/(b^2 + w) - y^2/(a^2 + w)) dw/sqrt((a^2 + w)(b^2 + w) w), L the root of the bracket.
// Source    K. L. Johnson, "Contact Mechanics" (1985), ch. 4 and 3.3, from memory.
// Valid     while the ellipse is small beside both radii, and neither body ends within it.
#pragma once

namespace lobewright {

/// One body: Young's modulus and Poisson's ratio.
struct Elastic {
    double young_n_per_mm2 = 0.0;
    double poisson = 0.0;
};

/// E* of two bodies, N/mm^2.
double contact_modulus(const Elastic& one, const Elastic& other);

struct HertzContact {
    double half_length_mm = 0.0;     // a, along y, the way of the larger radius
    double half_width_mm = 0.0;      // b, along x
    double peak_n_per_mm2 = 0.0;     // p0
    double approach_mm = 0.0;        // of the bodies far from the contact
    double radius_along_mm = 0.0;    // Ry
    double modulus_n_per_mm2 = 0.0;  // E*

    /// Gap between the bodies at y along the long axis, mm; 0 within the ellipse.
    [[nodiscard]] double gap_mm(double y_mm) const;

    /// How far along the long axis, from the middle, the bodies lie within `gap` of each other; at least the half length.
    [[nodiscard]] double reach_mm(double gap) const;
};

/// `load_n` > 0, `radius_across_mm` (Rx) > 0 and not more than `radius_along_mm` (Ry), `modulus_n_per_mm2` > 0. Throws
/// std::domain_error otherwise.
HertzContact hertz_contact(double load_n, double radius_across_mm, double radius_along_mm,
                           double modulus_n_per_mm2);

}  // namespace lobewright
