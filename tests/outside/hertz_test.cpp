// Elliptical Hertz contact against printed tables, worked examples and independently integrated values.
#include "analysis/contact/hertz.hpp"

#include <cmath>
#include <numbers>
#include <stdexcept>

#include <boost/math/special_functions/ellint_1.hpp>
#include <boost/math/special_functions/ellint_2.hpp>
#include <catch2/catch.hpp>

using namespace lobewright;

namespace {

constexpr Elastic steel{210e3, 0.3};
// Inputs of the independent calculation below, not facts: a hardened tappet on an iron lobe.
const double lobe_and_tappet = contact_modulus({207e3, 0.30}, {150e3, 0.26});

HertzContact on_lobe(double load_n, double lobe_radius_mm, double crown_mm) {
    return hertz_contact(load_n, 1.0 / (1.0 / lobe_radius_mm + 1.0 / crown_mm), crown_mm, lobe_and_tappet);
}

}  // namespace

TEST_CASE("coefficients m and n of the Hertz ellipse", "[outside][contact]") {
    // a = m (3W/(4E*(A+B)))^(1/3), b = n (...), cos theta = (B-A)/(A+B). Exact by an independent calculation (scipy's
    // elliptic integrals); rounded to the printed digits they are the table of Timoshenko & Goodier, Theory of Elasticity
    // (from memory): 2.731/0.493 at 30, 1.926/0.604 at 45, 1.486/0.717 at 60, 1.128/0.893 at 80 degrees.
    struct Row {
        double theta_deg, m, n;
    };
    const auto row = GENERATE(values<Row>({{20, 3.816011, 0.412150},
                                           {30, 2.730648, 0.493060},
                                           {40, 2.135709, 0.567289},
                                           {45, 1.926462, 0.603828},
                                           {50, 1.754148, 0.640685},
                                           {60, 1.485824, 0.717100},
                                           {70, 1.285071, 0.799904},
                                           {80, 1.127816, 0.892717},
                                           {90, 1.0, 1.0}}));
    const double cosine = std::cos(row.theta_deg * std::numbers::pi / 180.0);
    const double rx = 1.0 / (1.0 + cosine), ry = row.theta_deg < 90.0 ? 1.0 / (1.0 - cosine) : rx;
    const HertzContact contact = hertz_contact(1.0, rx, ry, 1.0);
    const double unit = std::cbrt(3.0 / (4.0 * (0.5 / rx + 0.5 / ry)));
    CAPTURE(row.theta_deg);
    CHECK(contact.half_length_mm / unit == Approx(row.m).epsilon(1e-6));
    CHECK(contact.half_width_mm / unit == Approx(row.n).epsilon(1e-6));
}

TEST_CASE("two steel balls", "[outside][contact]") {
    // Balls of 10 and 15 mm radius pressed by 5 N: a 57.99 um, p0 709.9 MPa, mean 473.3 MPa (Stachowiak & Batchelor,
    // Engineering Tribology, worked example, from memory).
    const HertzContact balls = hertz_contact(5.0, 6.0, 6.0, contact_modulus(steel, steel));
    CHECK(balls.half_length_mm == Approx(0.0579889).epsilon(1e-6));
    CHECK(balls.half_width_mm == Approx(balls.half_length_mm));
    CHECK(balls.peak_n_per_mm2 == Approx(709.940).epsilon(1e-6));
    // Of a circle K = pi/2: approach a^2/R.
    CHECK(balls.approach_mm == Approx(balls.half_length_mm * balls.half_length_mm / 6.0));
}

TEST_CASE("ball in a groove", "[outside][contact]") {
    // Ball 9.525 dia in a groove of 4.89 radius, pitch dia 46, ball load 555.556 N, steel: a public engineering page prints
    // k 12.19, a 1.368, b 0.112, p0 1728 by an approximation of 1977 that lies some per cent off; exact values by an
    // independent calculation with scipy.
    const HertzContact ball = hertz_contact(5000.0 / 9.0, 3.776352, 182.6559, contact_modulus(steel, steel));
    CHECK(ball.half_length_mm / ball.half_width_mm == Approx(11.834232).epsilon(1e-5));
    CHECK(ball.half_length_mm == Approx(1.340913).epsilon(1e-5));
    CHECK(ball.half_width_mm == Approx(0.1133080).epsilon(1e-5));
    CHECK(ball.peak_n_per_mm2 == Approx(1745.8522).epsilon(1e-5));
    CHECK(ball.half_length_mm == Approx(1.368).epsilon(0.025));
    CHECK(ball.peak_n_per_mm2 == Approx(1728.0).epsilon(0.012));
}

TEST_CASE("crowned tappet on a lobe", "[outside][contact]") {
    // Independent calculation with scipy's elliptic integrals and root finder; E* 94231.742714 N/mm^2, 500 N.
    CHECK(lobe_and_tappet == Approx(94231.742714).epsilon(1e-10));
    struct Row {
        double crown, lobe, k, a, b, p0, approach_um;
    };
    const auto row = GENERATE(values<Row>({{762, 6, 21.008055, 2.367395, 0.1126899, 894.8611, 4.74412},
                                           {762, 20, 10.416932, 2.196963, 0.2109030, 515.2356, 4.30828},
                                           {1270, 6, 28.187123, 2.884178, 0.1023225, 808.9430, 4.15161},
                                           {1270, 10, 21.008055, 2.806858, 0.1336086, 636.5851, 4.00134},
                                           {1270, 14, 17.287465, 2.753326, 0.1592672, 544.4116, 3.90049},
                                           {1270, 63, 7.172696, 2.485668, 0.3465458, 277.1454, 3.43291},
                                           {2000, 6, 36.531823, 3.431282, 0.0939258, 740.7469, 3.68080}}));
    const HertzContact contact = on_lobe(500.0, row.lobe, row.crown);
    CAPTURE(row.crown, row.lobe);
    CHECK(contact.half_length_mm / contact.half_width_mm == Approx(row.k).epsilon(1e-6));
    CHECK(contact.half_length_mm == Approx(row.a).epsilon(1e-6));
    CHECK(contact.half_width_mm == Approx(row.b).epsilon(1e-6));
    CHECK(contact.peak_n_per_mm2 == Approx(row.p0).epsilon(1e-6));
    CHECK(1000.0 * contact.approach_mm == Approx(row.approach_um).epsilon(1e-5));
}

TEST_CASE("the ellipse grows with the third root of the load", "[outside][contact]") {
    // Crown 1270 mm, lobe radius 10 mm; the same independent calculation.
    CHECK(on_lobe(100.0, 10.0, 1270.0).half_length_mm == Approx(1.641460).epsilon(1e-6));
    CHECK(on_lobe(1500.0, 10.0, 1270.0).half_length_mm == Approx(4.048189).epsilon(1e-6));
    CHECK(on_lobe(1500.0, 10.0, 1270.0).peak_n_per_mm2 == Approx(918.1145).epsilon(1e-6));
}

TEST_CASE("beside a round contact the gap has a closed form", "[outside][contact]") {
    // K. L. Johnson, Contact Mechanics, eq. 3.42b (from memory): outside a circle of radius a the surfaces sink by
    // p0/(2 E* a) ((2a^2 - r^2) asin(a/r) + r a sqrt(1 - a^2/r^2)).
    const HertzContact balls = hertz_contact(5.0, 6.0, 6.0, contact_modulus(steel, steel));
    const double a = balls.half_length_mm;
    for (const double times : {1.01, 1.3, 2.0, 5.0}) {
        const double r = times * a;
        const double sunk =
            balls.peak_n_per_mm2 / (2.0 * balls.modulus_n_per_mm2 * a) *
            ((2.0 * a * a - r * r) * std::asin(a / r) + r * a * std::sqrt(1.0 - a * a / (r * r)));
        const double gap = r * r / 12.0 + sunk - balls.approach_mm;
        CAPTURE(times);
        CHECK(balls.gap_mm(r) == Approx(gap).epsilon(1e-6).margin(1e-12));
        CHECK(balls.reach_mm(gap) == Approx(r).epsilon(1e-6));
    }
    CHECK(balls.gap_mm(0.5 * a) == 0.0);
    CHECK(balls.reach_mm(0.0) == a);
}

TEST_CASE("what can't be a contact is refused", "[contact]") {
    CHECK_THROWS_AS(hertz_contact(0.0, 6.0, 1270.0, 1e5), std::domain_error);
    CHECK_THROWS_AS(hertz_contact(500.0, 6.0, 5.0, 1e5), std::domain_error);
    CHECK_THROWS_AS(hertz_contact(500.0, -6.0, 1270.0, 1e5), std::domain_error);
    CHECK_THROWS_AS(hertz_contact(500.0, 6.0, std::nan(""), 1e5), std::domain_error);
}

TEST_CASE("complete elliptic integrals agree with Gauss's arithmetic-geometric mean", "[outside][contact]") {
    // M. Abramowitz and I. A. Stegun, "Handbook of Mathematical Functions", 17.6 (from memory).
    for (const double modulus : {0.1, 0.5, 0.9, 0.999, 0.99999}) {
        double a = 1.0, b = std::sqrt(1.0 - modulus * modulus), sum = 0.5 * modulus * modulus, power = 0.5;
        for (int i = 0; i < 12; ++i) {  // each step doubles the digits
            const double off = 0.5 * (a - b), mean = 0.5 * (a + b);
            b = std::sqrt(a * b);
            a = mean;
            power *= 2.0;
            sum += power * off * off;
        }
        const double first = 0.5 * std::numbers::pi / a;
        CHECK(boost::math::ellint_1(modulus) == Approx(first).epsilon(1e-13));
        CHECK(boost::math::ellint_2(modulus) == Approx(first * (1.0 - sum)).epsilon(1e-10));
    }
}
