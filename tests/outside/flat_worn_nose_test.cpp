// A three-arc cam and the same cam with its nose worn flat, through the whole chain. Derived, numerically verified:
// closed forms and brute force on a dense outline agree within 2e-10. Flank formula: theory-of-machines question
// banks (seen).
//
// What a smoothing spline may do to such a cam: at the joints the second derivative jumps by J = 48 mm/rad^2,
// in the middle of the flat the slope by K = 2 yc = 3.07 mm/rad. Smoothing of bandwidth b rounds a corner by
// 0.354 K b (the equivalent kernel of B. W. Silverman, Ann. Stat. 12 (1984), from memory: half K times the
// kernel's mean size of the argument, b/sqrt2); noise of 0.3 um on rows 0.025 degrees apart and knots half a
// degree apart make b about 0.25 degrees. Over some knots the rounding sums to nothing, so that the mean wear
// near the nose hardly knows of it.
#include <array>
#include <cmath>

#include <catch2/catch.hpp>

#include "../analysis/made_run.hpp"
#include "analysis/compare.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

constexpr double base_radius = 15.0, nose_radius = 6.0, nose_centre = 15.0, flank_arm = 48.0;
constexpr double joint_deg = 46.826448893, foot_deg = 60.0;
constexpr double cut_at = 20.8, corner_normal_deg = 14.835111582;
const double flat_half_mm = std::sqrt(36.0 - 5.8 * 5.8);

double new_lift_mm(double angle_rad, double) {
    const double psi = std::fabs(from_nose_deg(angle_rad, 180.0));
    if (psi <= joint_deg) return nose_radius + nose_centre * std::cos(psi * degree) - base_radius;
    if (psi < foot_deg) return flank_arm * (1.0 - std::cos((foot_deg - psi) * degree));
    return 0.0;
}

double worn_lift_mm(double angle_rad, double z_mm) {
    const double psi = std::fabs(from_nose_deg(angle_rad, 180.0));
    if (psi >= corner_normal_deg) return new_lift_mm(angle_rad, z_mm);
    return cut_at * std::cos(psi * degree) + flat_half_mm * std::sin(psi * degree) - base_radius;
}

LobeFigures worn_against_new() {
    const Run reference = made_run(new_lift_mm, {.step_deg = 0.025, .noise_mm = 3e-4, .seed = 1});
    const Run used = made_run(worn_lift_mm, {.step_deg = 0.025, .noise_mm = 3e-4, .seed = 2});
    return compare_runs(reference, used).lobes.at(0);
}

const double slope_jump = 2.0 * flat_half_mm;
const double corner_mm = 0.354 * slope_jump * 0.3 * degree;  // 5.7 um

}  // namespace

TEST_CASE("lift of a three-arc cam under a flat tip", "[outside][lift]") {
    struct Row {
        double psi_deg, lift_mm;
    };
    constexpr std::array<Row, 13> rows{{{0, 6.000000000},
                                        {5, 5.942920471},
                                        {10, 5.772116295},
                                        {15, 5.488887394},
                                        {20, 5.095389312},
                                        {25, 4.594616806},
                                        {30, 3.990381057},
                                        {35, 3.287280664},
                                        {40, 2.490666647},
                                        {45, 1.606601718},
                                        {50, 0.729227855},
                                        {55, 0.182654492},
                                        {58, 0.029240303}}};
    const auto figures = inspect_run(made_run(new_lift_mm, {.step_deg = 0.25, .noise_mm = 2e-5, .seed = 1}));
    const auto& lobe = figures.lobes.at(0);
    const auto& curve = lobe.curves;
    for (const auto& row : rows) {
        for (const double side : {-1.0, 1.0}) {
            const auto at = static_cast<std::size_t>(std::lround(2.0 * (180.0 + side * row.psi_deg)));
            CAPTURE(row.psi_deg, side);
            CHECK(curve.front_mm.at(at) == Approx(row.lift_mm).margin(5e-5));
            CHECK(curve.rear_mm.at(at) == Approx(row.lift_mm).margin(5e-5));
        }
    }
    CHECK(lobe.lift.used_mm.value == Approx(6.0).margin(2e-5));
    CHECK(wrapped_deg(lobe.nose_deg.value - 180.0) == Approx(0.0).margin(2e-4));
    CHECK(lobe.wear.nose_radius_used_mm.value == Approx(6.0).margin(2e-3));
}

TEST_CASE("a nose worn flat: depth, loss of lift and stock", "[outside][wear]") {
    const auto lobe = worn_against_new();
    // Mean wear within 2 degrees of the nose.
    CHECK(lobe.wear.nose_depth_mm.value == Approx(0.174368248).margin(1e-3));
    CHECK(lobe.wear.front_nose_depth_mm.value == Approx(0.174368248).margin(1e-3));
    CHECK(lobe.wear.rear_nose_depth_mm.value == Approx(0.174368248).margin(1e-3));
    // Largest lifts 6 and 5.856653615 at 4.224 degrees from the nose: not the 0.2 that is gone there.
    CHECK(lobe.lift.used_mm.value == Approx(5.856653615).margin(3e-4));
    CHECK(lobe.lift.loss_mm.value == Approx(0.143346385).margin(3e-4));
    CHECK(lobe.wear.max_depth_mm.value == Approx(0.2).margin(corner_mm));
    CHECK(wrapped_deg(lobe.wear.at_deg - 180.0) == Approx(0.0).margin(0.5));
    // 0.2 at fixed phase; shifting by 1.04 degrees either way lowers it to 0.197520138.
    CHECK(lobe.stock_to_clean_mm.value == Approx(0.197520138).margin(corner_mm));
    CHECK(lobe.stock_to_clean_mm.value < lobe.wear.max_depth_mm.value);
    CHECK(lobe.phase_shift_deg.value == Approx(0.0).margin(1e-3));
}

TEST_CASE("a nose worn flat: wear round the nose", "[outside][wear]") {
    struct Row {
        double psi_deg, wear_mm;
    };
    constexpr std::array<Row, 3> rows{{{2, 0.149919579}, {5, 0.088179559}, {10, 0.021351640}}};
    const auto curves = worn_against_new().curves;
    for (const auto& row : rows) {
        for (const double side : {-1.0, 1.0}) {
            const auto at = static_cast<std::size_t>(std::lround(2.0 * (180.0 + side * row.psi_deg)));
            CAPTURE(row.psi_deg, side);
            CHECK(curves.wear_front_mm.at(at) == Approx(row.wear_mm).margin(5e-4));
            CHECK(curves.wear_rear_mm.at(at) == Approx(row.wear_mm).margin(5e-4));
        }
    }
}

TEST_CASE("a nose worn flat: area, volume and the radius that a flat tip touches", "[outside][wear]") {
    const auto lobe = worn_against_new();
    CHECK(lobe.wear.area_mm_deg.value == Approx(1.982445713).margin(0.01));
    // The circle's segment, 0.411046445 mm2, over 12 mm: the mean of both radii counts, the reference's alone
    // would give half of it. The corner is the whole flat in one angle, K of radius times the wear there:
    // both are rounded, so that of 12 mm K/2 w it loses half as much again as the wear does.
    CHECK(lobe.wear.volume_mm3.value == Approx(4.932557).margin(12.0 * 0.5 * slope_jump * 1.5 * corner_mm));
    // Surface touched within 10 degrees of the nose over that angle: the whole flat, 2 yc, over 20 degrees.
    CHECK(lobe.wear.nose_radius_used_mm.value == Approx(2.0 * flat_half_mm / (20.0 * degree)).margin(0.03));
    CHECK(lobe.wear.nose_radius_reference_mm.value == Approx(6.0).margin(0.03));
}
