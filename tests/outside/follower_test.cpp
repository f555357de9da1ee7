// Tips and followers against outside figures: closed forms of eccentric, three-arc and tangent cams, derived and
// numerically verified (numpy/scipy) by a brute-force contact on a dense outline. Published sources stand beside the
// values, with whether they were seen or are named from memory.
//
// The three-arc and tangent cams are made of arcs: where two meet, the radius of curvature jumps, and a grid
// of half degrees knows the place only to a step. Within three steps of such a joint the values between the
// grid's angles may be off by 0.032 J s^2 (J jump of the second derivative, s step) and where the slope
// itself jumps by K, by 0.17 K s: analysis/follower/grid_curve.hpp. Elsewhere nothing but rounding is
// allowed.
#include <algorithm>
#include <array>
#include <cmath>

#include <catch2/catch.hpp>

#include "analysis/follower/grid_curve.hpp"
#include "analysis/follower/pitch_curve.hpp"
#include "analysis/lobe/lobe_on_grid.hpp"
#include "tests/analysis/follower_outlines.hpp"

using namespace lobewright;
using namespace follower_test;

namespace {

constexpr double printed = 1e-9;  // the tables have nine decimals

double jump_error(double jump) {
    return 0.032 * jump * step * step;
}

/// Whether a normal lies within three steps of either joint of the three-arc cam.
bool near_joint(double theta) {
    const double from_nose = std::fabs(folded(theta));
    return std::fabs(from_nose - three_arc_joint) < 3.0 * step ||
           std::fabs(from_nose - three_arc_start) < 3.0 * step;
}

struct Row {
    double deg, flat, slope, rho, roller, knife;
};
/// Three-arc cam; derived, numerically verified. Flank formulas: theory-of-machines question banks (seen); home:
/// Khurmi and Gupta, Theory of Machines, cams with specified contours (from memory).
constexpr std::array<Row, 13> three_arc_rows{{{0, 6.000000000, 0, 6, 6.000000000, 6.000000000},
                                              {5, 5.942920471, -1.307336141, 6, 5.889420784, 5.798761334},
                                              {10, 5.772116295, -2.604722665, 6, 5.558674496, 5.177245326},
                                              {15, 5.488887394, -3.882285677, 6, 5.010738377, 4.134292542},
                                              {20, 5.095389312, -5.130302150, 6, 4.250586435, 3.157480011},
                                              {25, 4.594616806, -6.339273926, 6, 3.289926135, 2.346451716},
                                              {30, 3.990381057, -7.500000000, 6, 2.372785231, 1.680244135},
                                              {35, 3.287280664, -8.603646545, 6, 1.622052970, 1.141935345},
                                              {40, 2.490666647, -9.641814145, 6, 1.024798477, 0.718131275},
                                              {45, 1.606601718, -10.606601718, 6, 0.570678779, 0.398504448},
                                              {50, 0.729227855, -8.335112528, 63, 0.251816744, 0.175411879},
                                              {55, 0.182654492, -4.183475652, 63, 0.062682836, 0.043600487},
                                              {58, 0.029240303, -1.675175842, 63, 0.010017128, 0.006964825}}};

}  // namespace

TEST_CASE("an eccentric circle reads alike by every tip", "[outside][follower]") {
    // R = 15, e = 4, angles from the high point. Flat e (1 + cos); roller and knife e cos + sqrt((R+r)^2
    // - (e sin)^2) - (R + r - e). Derived, elementary; also Khurmi and Gupta, Theory of Machines, cams (from memory).
    struct Lift {
        double deg, flat, roller, knife;
    };
    const Lift rows[] = {{0, 8, 8, 8},
                         {30, 7.464101615, 7.383973204, 7.330170362},
                         {60, 6.000000000, 5.758836806, 5.594519519},
                         {90, 4.000000000, 3.677925359, 3.456832295},
                         {120, 2.000000000, 1.758836806, 1.594519519},
                         {150, 0.535898385, 0.455769974, 0.401967132},
                         {180, 0, 0, 0}};
    const auto h = support_on_grid(half_degrees, eccentric_circle);
    const auto roller = pitch_from_support(h, 10.0).radius_mm, knife = pitch_from_support(h, 0.0).radius_mm;
    for (const auto& row : rows) {
        CAPTURE(row.deg);
        for (const double deg : {row.deg, 360.0 - row.deg}) {
            CHECK(h[at_deg(deg)] - 11.0 == Approx(row.flat).margin(printed));
            CHECK(roller[at_deg(deg)] - 21.0 == Approx(row.roller).margin(printed));
            CHECK(knife[at_deg(deg)] - 11.0 == Approx(row.knife).margin(printed));
        }
    }
    for (const double r : {0.0, 10.0}) {
        const auto read = on_grid(half_degrees, [&](double phi) {
            const double d = 4.0 * std::sin(phi);
            return 4.0 * std::cos(phi) + std::sqrt((15.0 + r) * (15.0 + r) - d * d);
        });
        const auto back = support_from_pitch(read, r);
        CHECK(largest_difference(back.support_mm, h) < 1e-12);  // measured 1.1e-14
        CHECK(largest_difference(pitch_from_support(h, r).radius_mm, read) < 1e-12);
        CHECK(back.hollows.empty());
    }
}

TEST_CASE("a three-arc cam's flat lift gives its roller's and its knife's", "[outside][follower]") {
    const auto h = support_on_grid(half_degrees, three_arc);
    const auto roller = pitch_from_support(h, 10.0), knife = pitch_from_support(h, 0.0);
    const auto tolerance = [&](const PitchCurve& pitch, std::size_t g) {
        return near_joint(pitch.contact.at_rad[g]) ? jump_error(63.0 - 6.0) / 0.8
                                                   : printed;  // cos(psi - theta) > 0.8
    };
    // Where a flat tip touches: h' sideways; on a radius of h + h''.
    const auto offset = first_derivative(h), bend = second_derivative(h);
    for (const auto& row : three_arc_rows) {
        CAPTURE(row.deg);
        for (const double deg : {row.deg, 360.0 - row.deg}) {
            const std::size_t g = at_deg(deg);
            CHECK(h[g] - 15.0 == Approx(row.flat).margin(printed));
            CHECK(roller.radius_mm[g] - 25.0 == Approx(row.roller).margin(tolerance(roller, g)));
            CHECK(knife.radius_mm[g] - 15.0 == Approx(row.knife).margin(tolerance(knife, g)));
            if (near_joint(row.deg * degree)) continue;
            CHECK(offset[g] == Approx(deg < 180.0 ? row.slope : -row.slope).margin(printed));
            CHECK(h[g] + bend[g] == Approx(row.rho).margin(1e-8));  // second differences of 1e-15 mm
        }
    }
}

TEST_CASE("durations of a three-arc cam at usual lifts", "[outside][follower]") {
    // Half lift at 36.869897646 degrees from the nose, acos(0.8); cam degrees above 0.1524, 0.508 and 1.27 mm (0.006,
    // 0.020 and 0.050 in). Derived, numerically verified.
    const double rows[][2] = {
        {3.0, 2.0 * 36.869897646}, {0.1524, 110.866137600}, {0.508, 103.313600684}, {1.27, 93.581203983}};
    const auto lift = on_grid(half_degrees, [](double t) { return three_arc(t - pi).h - 15.0; });
    for (const auto& [level, duration_deg] : rows) {
        CAPTURE(level);
        const auto at = crossing(lift, peak_of(lift).at, level);
        const double from_nose = 0.5 * duration_deg * degree;
        // Cubics through four grid points; at 1.27 mm the joint lies within a step: three steps' jump over the slope.
        const bool near = near_joint(from_nose);
        const double margin_deg =
            near ? jump_error(63.0 - 6.0) / std::fabs(three_arc(from_nose).h1) / degree : 1e-6;
        CHECK(deg_of_grid(at.closing - at.opening) == Approx(duration_deg).margin(2.0 * margin_deg));
        CHECK(deg_of_grid(at.middle()) == Approx(180.0).margin(1e-9));
    }
}

TEST_CASE("a three-arc cam's roller and knife readings give its flat lift", "[outside][follower]") {
    // The joint is met at 24.213488541 deg by the roller, at 12.900051040 deg by the knife (derived, numerically
    // verified). The pitch curve's curvature jumps from 1/(6+r) to 1/(63+r); in R'' that is times (R^2 + R'^2)^1.5
    // / R: 101 mm/rad^2 for the knife, 37 for the roller.
    struct Tip {
        double radius, joint_deg, jump;
    };
    for (const Tip& tip : {Tip{10.0, 24.213488541, 66.0}, Tip{0.0, 12.900051040, 101.0}}) {
        CAPTURE(tip.radius);
        const auto read = on_grid(half_degrees, [&](double psi) { return three_arc_pitch(psi, tip.radius); });
        for (const auto& row : three_arc_rows) {  // the closed form used here is the tables'
            const double lift = tip.radius > 0.0 ? row.roller : row.knife;
            CHECK(read[at_deg(row.deg)] - 15.0 - tip.radius == Approx(lift).margin(printed));
        }
        const auto flat = support_from_pitch(read, tip.radius);
        CHECK(flat.hollows.empty());
        for (const auto& row : three_arc_rows) {
            CAPTURE(row.deg);
            const double psi_deg = std::fabs(folded(flat.contact.at_rad[at_deg(row.deg)])) / degree;
            const bool near = std::fabs(psi_deg - tip.joint_deg) < 1.5 || std::fabs(psi_deg - 60.0) < 1.5;
            CHECK(flat.support_mm[at_deg(row.deg)] - 15.0 ==
                  Approx(row.flat).margin(near ? jump_error(tip.jump) : printed));
        }
    }
}

TEST_CASE("a tangent cam reads alike by every tip", "[outside][follower]") {
    // Base circle 15, nose 6, its centre 15 from the axis, straight flank at normal 53.130102354 deg, where the flat
    // reading's slope jumps by 12 mm/rad. Derived, numerically verified; roller on a straight flank
    // (r1+r2)(1-cos)/cos: theory-of-machines question banks (seen).
    struct Lift {
        double deg, flat, roller, knife;
    };
    const Lift rows[] = {{0, 6.000000000, 6.000000000, 6.000000000},
                         {5, 5.942920471, 5.889420784, 5.798761334},
                         {10, 5.772116295, 5.558674496, 5.177245326},
                         {15, 5.488887394, 5.010738377, 4.069152495},
                         {20, 5.095389312, 4.250586435, 2.911908793},
                         {25, 4.594616806, 3.285212644, 2.009130742},
                         {30, 3.990381057, 2.185282334, 1.311169401},
                         {35, 3.287280664, 1.306031994, 0.783619197},
                         {40, 2.490666647, 0.671126587, 0.402675952},
                         {45, 1.606601718, 0.253813614, 0.152288168},
                         {50, 0.641814145, 0.037352718, 0.022411631},
                         {55, 0, 0, 0},
                         {58, 0, 0, 0}};
    const TangentCam cam;
    const double flank = cam.flank();
    const auto h = support_on_grid(half_degrees, [&](double t) { return cam.support(t); });
    for (const double r : {10.0, 0.0}) {
        CAPTURE(r);
        // Where the roller leaves the flank: 27.489096530 deg for r = 10.
        const double leaves = cam.leaves(r);
        if (r > 0.0) CHECK(leaves / degree == Approx(27.489096530).margin(printed));
        const auto read = on_grid(half_degrees, [&](double psi) { return cam.pitch(psi, r); });
        const auto forth = pitch_from_support(h, r);
        const auto back = support_from_pitch(read, r);
        CHECK(back.hollows.empty());  // straight isn't hollow
        for (const auto& row : rows) {
            CAPTURE(row.deg);
            const std::size_t g = at_deg(row.deg);
            const double lift = r > 0.0 ? row.roller : row.knife;
            CHECK(read[g] - 15.0 - r == Approx(lift).margin(printed));
            // The roller on the flank rests, for the flat reading, on one normal: that of the slope's jump.
            const double normal = std::fabs(folded(forth.contact.at_rad[g]));
            const bool at_jump = std::fabs(normal - flank) < 3.0 * step;
            const double pressure = std::cos(flank - leaves);
            CHECK(forth.radius_mm[g] - 15.0 - r ==
                  Approx(lift).margin(at_jump ? 0.17 * 12.0 * step / pressure : printed));
            // Other way: the pitch curve's curvature jumps at both ends of the flank, from 1/(15+r) and
            // 1/(6+r) to none: by R'' = 15 + r at its start, (R^2 + R'^2)^1.5 / (R (6 + r)) where the roller
            // leaves.
            const double psi = std::fabs(folded(back.contact.at_rad[g]));
            const bool near = std::fabs(psi - leaves) < 3.0 * step || std::fabs(psi - flank) < 3.0 * step;
            const double distance = (15.0 + r) / pressure;
            const double jump = std::pow(distance / pressure, 3.0) / (distance * (6.0 + r));
            CHECK(back.support_mm[g] - 15.0 == Approx(row.flat).margin(near ? jump_error(jump) : printed));
        }
    }
}

TEST_CASE("a roller on a smooth outline stands where brute force finds it", "[outside][follower]") {
    // h = 20 + 3 cos t + cos 2t + 0.2 cos 3t, roller 10: height over 30 and contact normal, derived by brute force.
    struct Contact {
        double deg, height, normal_deg;
    };
    const Contact rows[] = {{0, 4.2, 0},
                            {30, 2.843310514, 37.549060886},
                            {60, 0.517235899, 67.453860419},
                            {90, -1.087713836, 94.194280101},
                            {120, -1.812565325, 121.663883150},
                            {150, -2.100451649, 150.739799713},
                            {180, -2.2, 180}};
    const auto h = support_on_grid(half_degrees, smooth_outline);
    const auto roller = pitch_from_support(h, 10.0);
    const auto back = support_from_pitch(roller.radius_mm, 10.0);
    const auto velocity = first_derivative(roller.radius_mm);
    auto curvature = second_derivative(h);
    for (std::size_t g = 0; g < h.size(); ++g) curvature[g] += h[g];
    for (const auto& row : rows) {
        CAPTURE(row.deg);
        const std::size_t g = at_deg(row.deg);
        CHECK(roller.radius_mm[g] - 30.0 == Approx(row.height).margin(printed));
        CHECK(roller.contact.at_rad[g] / degree == Approx(row.normal_deg).margin(2e-9));
        // Velocity is R tan(pressure angle): both are in the table.
        CHECK(velocity[g] ==
              Approx((30.0 + row.height) * std::tan((row.deg - row.normal_deg) * degree)).margin(2e-9));
    }
    CHECK(*std::min_element(curvature.begin(), curvature.end()) == Approx(15.4).margin(1e-9));
    CHECK(largest_difference(back.support_mm, h) < 1e-11);  // measured 1e-13
}

TEST_CASE("a regrind changes a roller's lift", "[outside][follower]") {
    // The three-arc cam moved in by 0.5: change of roller lift, r = 10. Derived, numerically verified.
    const double rows[][2] = {{20, -0.028851037}, {30, -0.029651927}, {40, -0.013238920}, {50, -0.003314391}};
    const auto h = support_on_grid(half_degrees, three_arc);
    auto ground = h;
    for (double& value : ground) value -= 0.5;
    const auto before = pitch_from_support(h, 10.0).radius_mm,
               after = pitch_from_support(ground, 10.0).radius_mm;
    for (const auto& [deg, change] : rows) {
        CAPTURE(deg);
        // Lift counts from the base circle, which is 0.5 smaller. A flat follower's is h less the base: unchanged.
        CHECK(after[at_deg(deg)] + 0.5 - before[at_deg(deg)] == Approx(change).margin(2.0 * printed));
    }
}

TEST_CASE("a nose worn flat is read alike by a knife and a flat tip, but for its corners",
          "[outside][follower]") {
    // The three-arc cam cut at 20.8 from the axis: wear a flat tip sees, new lift less worn. Derived, numerically
    // verified.
    const double wear[][2] = {{0, 0.2}, {2, 0.149919579}, {5, 0.088179559}, {10, 0.021351640}};
    const double half_flat = 1.536229150, corner_normal = 14.835111582 * degree;
    const double corner_psi = std::atan2(half_flat, 20.8), corner_mm = std::hypot(20.8, half_flat);
    CHECK(corner_mm - 15.0 == Approx(5.856653615).margin(printed));
    const auto worn = [&](double theta) {
        const double psi = std::fabs(folded(theta));
        return psi < corner_normal ? 20.8 * std::cos(psi) + half_flat * std::sin(psi) : three_arc(theta).h;
    };
    const auto read = on_grid(half_degrees, [&](double psi) {
        return std::fabs(folded(psi)) < corner_psi ? 20.8 / std::cos(psi) : three_arc_pitch(psi, 0.0);
    });
    // The knife's reading has corners: its slope jumps from R tan(psi_c) to -R tan(14.8 deg - psi_c).
    const double knife_jump = corner_mm * (std::tan(corner_psi) + std::tan(corner_normal - corner_psi));
    const auto flat = support_from_pitch(read, 0.0);
    for (const auto& [deg, depth] : wear) {
        CAPTURE(deg);
        CHECK(three_arc(deg * degree).h - flat.support_mm[at_deg(deg)] ==
              Approx(depth).margin(0.17 * knife_jump * step));
    }
    CHECK(flat.hollows.empty());  // flat isn't hollow
    // A flat tip rests on either corner: no radius at all, but for the middle, where its slope jumps by the flat's
    // length.
    const auto touched = on_grid(half_degrees, worn), bend = second_derivative(touched);
    for (const double deg : {2.0, 5.0, 10.0, 13.0}) {
        CAPTURE(deg);
        CHECK(touched[at_deg(deg)] + bend[at_deg(deg)] == Approx(0.0).margin(1e-8));
        CHECK(touched[at_deg(360.0 - deg)] + bend[at_deg(360.0 - deg)] == Approx(0.0).margin(1e-8));
    }
    // The flat tip's slope jumps by the flat's length.
    const auto knife = pitch_from_support(on_grid(half_degrees, worn), 0.0);
    CHECK(knife.radius_mm[at_deg(0)] == Approx(20.8).margin(printed));
    for (const double deg : {0.5, 2.0, 4.0, 4.5, 6.0, 10.0}) {
        CAPTURE(deg);
        CHECK(knife.radius_mm[at_deg(deg)] ==
              Approx(read[at_deg(deg)]).margin(0.17 * 2.0 * half_flat * step));
    }
}
