// The model's truth: figures of simple cases worked out by hand or by another route than the one that truth
// takes.
#include <cmath>
#include <numbers>

#include <catch2/catch.hpp>

#include "analysis/errors.hpp"
#include "analysis/units.hpp"
#include "rig/model/truth.hpp"

using namespace lobewright;

namespace {

/// One symmetrical lobe without form: heel from 194 to 526 - 360 = 26 degrees (nose 110, 84 each side).
CamModel plain_cam(double taper_mm = 0.024) {
    CamModel cam;
    LobeModel model;
    model.lobe.name = "1E";
    model.lobe.z_mm = 50.0;
    model.lobe.width_mm = 12.0;
    model.nose_deg = 110.0;
    model.taper_mm = taper_mm;
    cam.lobes = {model};
    return cam;
}

CamModel worn(CamModel cam, const std::vector<Wear>& wear) {
    for (LobeModel& model : cam.lobes) model.wear = wear;
    return cam;
}

RigModel rig_at(double index_phase_deg) {
    RigModel rig;
    rig.index_phase_deg = index_phase_deg;
    rig.datum = DatumModel{};
    return rig;
}

LobeTruth truth_of(const CamModel& reference, const CamModel& used, const RigModel& used_rig = rig_at(0.0)) {
    return true_figures(reference, rig_at(0.0), used, used_rig).lobes.at(0);
}

/// Area inside the outline at mid-width, mm^2: half the integral of h rho (convex geometry; from memory,
/// checked by polygon area).
double area_mm2(const LobeModel& model) {
    const LobeShape shape(model);
    constexpr int n = 36000;
    double sum = 0.0;
    for (int i = 0; i < n; ++i) {
        const Support s = shape.section(Turned(2.0 * std::numbers::pi * i / n)).middle;
        sum += s.h * s.radius();
    }
    return 0.5 * sum * 2.0 * std::numbers::pi / n;
}

/// Length of the outline between two normals, mm, along a fine polygon of its points h n + h' t.
double outline_length_mm(const LobeModel& model, double from_deg, double to_deg) {
    const LobeShape shape(model);
    const auto point = [&](double deg) {
        const Turned turned(rad_from_deg(deg));
        const Support s = shape.section(turned).middle;
        return std::pair(s.h * turned.cos - s.h1 * turned.sin, s.h * turned.sin + s.h1 * turned.cos);
    };
    double length = 0.0;
    auto last = point(from_deg);
    for (int i = 1; i <= 4000; ++i) {
        const auto next = point(from_deg + (to_deg - from_deg) * i / 4000);
        length += std::hypot(next.first - last.first, next.second - last.second);
        last = next;
    }
    return length;
}

}  // namespace

TEST_CASE("truth of an unworn lobe: no loss, all taper, the phase of the index") {
    const LobeTruth truth = truth_of(plain_cam(), plain_cam(), rig_at(-250.0));
    CHECK(truth.lift_reference_mm.value == Approx(5.5).margin(1e-9));
    CHECK(truth.lift_used_mm.value == Approx(5.5).margin(1e-9));
    CHECK(truth.lift_loss_mm.value == Approx(0.0).margin(1e-12));
    CHECK(truth.phase_shift_deg.value == Approx(110.0).margin(1e-9));
    CHECK(truth.nose_deg.value == Approx(-140.0).margin(1e-9));  // 110 - 250
    CHECK(truth.arc_from_deg == Approx(304.0).margin(1e-9));     // 194 - 250 + 360
    CHECK(truth.arc_to_deg == Approx(496.0).margin(1e-9));
    for (const TrueFigure& taper :
         {truth.taper_base_mm, truth.taper_opening_mm, truth.taper_nose_mm, truth.taper_closing_mm}) {
        CHECK(taper.value == Approx(0.024).margin(1e-12));
    }
    CHECK(truth.max_depth_mm.value == Approx(0.0).margin(1e-12));
    CHECK(truth.area_mm_deg.value == Approx(0.0).margin(1e-9));
    CHECK(truth.flat_arc_deg.value == 0.0);
    CHECK(truth.stock_to_clean_mm.value == Approx(0.0).margin(1e-6));
    CHECK(truth.runout_front_mm.value == Approx(0.0).margin(1e-12));
}

TEST_CASE("truth of even wear over the event") {
    // 10 um everywhere but the first and last 14 degrees: area 0.01 x (168 - 14) (the quintic step's mean is
    // a half).
    const LobeTruth truth = truth_of(plain_cam(), worn(plain_cam(), {even_wear(0.010, 14.0)}));
    CHECK(truth.lift_loss_mm.value == Approx(0.010).margin(1e-9));
    CHECK(truth.nose_depth_mm.value == Approx(0.010).margin(1e-12));
    CHECK(truth.max_depth_mm.value == Approx(0.010).margin(1e-12));
    CHECK(truth.area_mm_deg.value == Approx(1.54).epsilon(1e-6));
    CHECK(truth.stock_to_clean_mm.value == Approx(0.010).margin(1e-6));
    CHECK(truth.phase_shift_deg.value == Approx(0.0).margin(1e-9));
    CHECK(truth.taper_nose_mm.value == Approx(0.024).margin(1e-12));
}

TEST_CASE("truth of taper lost all round") {
    const LobeTruth truth = truth_of(plain_cam(), worn(plain_cam(), {taper_lost_wear(0.006, 0.024, 14.0)}));
    CHECK(truth.front_nose_depth_mm.value == Approx(0.006).margin(1e-12));
    CHECK(truth.rear_nose_depth_mm.value == Approx(0.030).margin(1e-12));
    CHECK(truth.max_depth_mm.value == Approx(0.030).margin(1e-12));
    CHECK(truth.max_depth_at_rear);
    CHECK(truth.lift_loss_mm.value == Approx(0.018).margin(1e-9));
    CHECK(truth.taper_base_mm.value == Approx(0.024).margin(1e-12));
    CHECK(truth.taper_opening_mm.value == Approx(0.0).margin(1e-12));
    CHECK(truth.taper_closing_mm.value == Approx(0.0).margin(1e-12));
    // Taper 0.024 (1 - step) falls to the flat limit of 0.003 where the quintic step is 7/8: x = 0.7197 of 14
    // degrees (10x^3 - 15x^4 + 6x^5 = 0.875 by bisection).
    CHECK(truth.flat_arc_deg.value == Approx(2.0 * (84.0 - 0.73062 * 14.0)).margin(0.03));
}

TEST_CASE("truth of a nose worn flat") {
    const LobeTruth truth = truth_of(plain_cam(), worn(plain_cam(), {nose_wear(0.02, 0.024, 28.0)}));
    CHECK(truth.lift_loss_mm.value == Approx(0.032).margin(1e-9));
    CHECK(truth.max_depth_mm.value ==
          Approx(0.044).margin(1e-6));  // greatest at the nose, between two 0.1 degree steps
    CHECK(truth.max_depth_at_deg == Approx(110.0).margin(0.06));
    // Integral of (1 - x^2)^4: 256/315 of its half-width; mean within x0 of the middle:
    // 1 - 4/3 x0^2 + 6/5 x0^4 - 4/7 x0^6 + ...
    const double x0 = 2.0 / 28.0;
    const double near = 1.0 - 4.0 / 3.0 * x0 * x0 + 1.2 * std::pow(x0, 4) - 4.0 / 7.0 * std::pow(x0, 6);
    CHECK(truth.front_nose_depth_mm.value == Approx(0.020 * near).epsilon(1e-6));
    CHECK(truth.rear_nose_depth_mm.value == Approx(0.044 * near).epsilon(1e-6));
    CHECK(truth.taper_nose_mm.value == Approx(0.024 * (1.0 - near)).margin(2e-8));
    CHECK(truth.area_mm_deg.value == Approx(0.032 * 28.0 * 256.0 / 315.0).epsilon(1e-6));
    // Taper is 0.024 (1 - (1 - x^2)^4) below 0.003 while (1 - x^2)^4 > 7/8.
    const double flat_x = std::sqrt(1.0 - std::pow(0.875, 0.25));
    CHECK(truth.flat_arc_deg.value == Approx(2.0 * 28.0 * flat_x).margin(0.03));
    CHECK(truth.stock_to_clean_mm.value == Approx(0.044).margin(2e-5));
    CHECK(truth.stock_to_clean_mm.value <= 0.044 + 1e-6);
}

TEST_CASE("true volume is the area between the outlines times the width") {
    const CamModel fresh = plain_cam(0.0);
    for (const Wear& wear : {nose_wear(0.03, 0.0, 28.0), wiped_wear(0.4), even_wear(0.01)}) {
        const CamModel used = worn(fresh, {wear});
        const double volume = 12.0 * (area_mm2(fresh.lobes[0]) - area_mm2(used.lobes[0]));
        CHECK(truth_of(fresh, used).volume_mm3.value == Approx(volume).epsilon(1e-5));
    }
}

TEST_CASE("true nose radius is the surface's length over the angle turned") {
    const CamModel fresh = plain_cam();
    const CamModel used = worn(fresh, {nose_wear(0.03, 0.024, 28.0)});
    const LobeTruth truth = truth_of(fresh, used);
    const double turned = rad_from_deg(20.0);
    CHECK(truth.nose_radius_reference_mm.value ==
          Approx(outline_length_mm(fresh.lobes[0], 100.0, 120.0) / turned).epsilon(1e-6));
    CHECK(truth.nose_radius_used_mm.value ==
          Approx(outline_length_mm(used.lobes[0], 100.0, 120.0) / turned).epsilon(1e-6));
}

TEST_CASE("true runout and eccentricity of an uneven set-up") {
    // 0.012 towards 20 degrees at the lobe, tilting by 0.0001 a mm, the heel 192 degrees long from 194 to
    // 386.
    RigModel rig = rig_at(0.0);
    const double c = std::cos(rad_from_deg(20.0));
    const double s = std::sin(rad_from_deg(20.0));
    rig.setup = {0.007 * c, 0.007 * s, 0.0001 * c, 0.0001 * s};  // 0.007 + 0.0001 x 50
    const LobeTruth truth = truth_of(plain_cam(), plain_cam(), rig);
    CHECK(truth.eccentricity_mm.value == Approx(0.012).margin(1e-9));
    CHECK(truth.eccentricity_deg == Approx(20.0).margin(1e-6));
    // On the arc e cos(angle - 20) is highest at 380 and lowest at 200 degrees: 2 e; edges lie 6 mm off.
    CHECK(truth.runout_front_mm.value == Approx(2.0 * 0.0114).margin(1e-6));
    CHECK(truth.runout_rear_mm.value == Approx(2.0 * 0.0126).margin(1e-6));
    CHECK(truth.form_front_mm.value == Approx(0.0).margin(1e-12));
    CHECK(truth.lift_used_mm.value == Approx(5.5).margin(1e-9));
    CHECK(truth.taper_opening_mm.value == Approx(0.024).margin(1e-9));
}

TEST_CASE("the centreline of a lobe lies midway between its flanks at half lift") {
    CamModel cam = plain_cam();
    cam.lobes[0].opening_deg = 80.0;
    cam.lobes[0].closing_deg = 90.0;
    const LobeShape shape(cam.lobes[0]);
    const double nose_deg = truth_of(cam, cam).nose_deg.value;
    double opening = -40.0;  // find both crossings by plain stepping
    while (shape.lift(rad_from_deg(opening)).h < 2.75) opening += 1e-4;
    double closing = 40.0;
    while (shape.lift(rad_from_deg(closing)).h < 2.75) closing -= 1e-4;
    CHECK(nose_deg == Approx(110.0 + 0.5 * (opening + closing)).margin(2e-4));
    CHECK(nose_deg > 110.5);
}

TEST_CASE("heel form moves the true lift with the arc that is taken, and slack says by how much") {
    CamModel cam = plain_cam();
    cam.lobes[0].form = {{3, 0.001, 40.0}};
    const LobeTruth truth = truth_of(cam, cam);
    CHECK(truth.lift_used_mm.slack > 1e-4);
    CHECK(truth.lift_loss_mm.slack < 1e-9);  // it stands in both runs and cancels
    // Least squares of 1, cos, sin over 100000 points of the heel, in Python: what is left spans 2.41996 um,
    // and the nose is left at 5.499453.
    CHECK(truth.form_front_mm.value == Approx(0.00241996).margin(1e-7));
    CHECK(truth.lift_used_mm.value == Approx(5.499453).margin(1e-6));
}

TEST_CASE("thrust share is the net taper over the total") {
    // Slopes +1.0, +1.2, -0.9, +1.1: net over total 0.571428571 (arithmetic).
    CamModel cam = plain_cam();
    cam.lobes.resize(4, cam.lobes[0]);
    const double tapers[] = {0.010, 0.012, -0.009, 0.011};
    for (std::size_t i = 0; i < 4; ++i) {
        cam.lobes[i].lobe.name = std::to_string(i);
        cam.lobes[i].taper_mm = tapers[i];
    }
    const RigModel rig = rig_at(0.0);
    CHECK(true_figures(cam, rig, cam, rig).thrust_share.value == Approx(0.571428571).margin(1e-9));
}

TEST_CASE("without a datum taper is relative to the heel, and what needs one isn't known") {
    RigModel rig = rig_at(0.0);
    rig.datum.reset();
    const CamModel cam = plain_cam();
    const CamTruth truth = true_figures(cam, rig, worn(cam, {nose_wear(0.01, 0.024)}), rig);
    CHECK(truth.lobes[0].taper_base_mm.value == 0.0);
    CHECK(truth.lobes[0].taper_opening_mm.value == Approx(0.0).margin(2e-4));
    CHECK(truth.lobes[0].taper_nose_mm.value == Approx(-0.024).margin(2e-4));
    CHECK(std::isnan(truth.lobes[0].flat_arc_deg.value));
    CHECK(std::isnan(truth.thrust_share.value));
    CHECK(std::isnan(truth.bend_mm.value));
}

TEST_CASE("truth of a lobe that the reference lacks is refused") {
    CamModel other = plain_cam();
    other.lobes[0].lobe.name = "2E";
    CHECK_THROWS_AS(true_figures(plain_cam(), rig_at(0.0), other, rig_at(0.0)), DataError);
}
