// How a cam rides in V-blocks: factors and readings against derived and simulated values.
#include <array>
#include <cmath>

#include <catch2/catch.hpp>

#include "analysis/units.hpp"
#include "rig/model/cam_model.hpp"
#include "rig/model/station.hpp"
#include "rig/model/truth.hpp"

using namespace lobewright;

namespace {

constexpr double um = 1e-3;

/// Harmonics 2, 3, 5 and 7 of 4, 2.5, 1 and 0.6 um at 20, 70, -35 and 10 degrees.
std::vector<Harmonic> worked_form() {
    return {{2, 4.0 * um, 20.0}, {3, 2.5 * um, 70.0}, {5, 1.0 * um, -35.0}, {7, 0.6 * um, 10.0}};
}

JournalModel journal(const std::string& name, double z_mm, double v_angle_deg,
                     const std::vector<Harmonic>& form) {
    JournalModel model;
    model.journal.name = name;
    model.journal.z_mm = z_mm;
    if (v_angle_deg > 0.0) model.journal.v_angle_deg = v_angle_deg;
    model.form = form;
    return model;
}

/// A cam in two V-blocks 300 mm apart with one lobe between them, its heel under the tip at angle 0.
CamModel cam_in(double v_angle_deg, const std::vector<Harmonic>& front, const std::vector<Harmonic>& rear) {
    CamModel cam;
    cam.journals = {journal("J1", 0.0, v_angle_deg, front), journal("J3", 300.0, v_angle_deg, rear)};
    LobeModel lobe;
    lobe.lobe.name = "1E";
    lobe.lobe.z_mm = 90.0;
    lobe.lobe.width_mm = 12.0;
    lobe.nose_deg = 180.0;
    cam.lobes = {lobe};
    return cam;
}

RigModel plain_rig() {
    RigModel rig;
    rig.info.front_z_mm = -4.0;
    rig.info.rear_z_mm = 4.0;
    return rig;
}

}  // namespace

TEST_CASE("factors of an indicator over a shaft in a V-block") {
    // F_n for V of 60, 90, 108 and 120 degrees: formula and a lobed convex body dropped on two planes agree
    // within 1e-12; rounded absolute values as ISO 4292:1985 has them (from memory).
    struct Row {
        int n;
        std::array<double, 4> factor;
    };
    const std::array<Row, 14> rows = {{{2, {0, 1, 1.381966, 1.577350}},
                                       {3, {3, 2, 1.381966, 1}},
                                       {4, {0, -0.414214, 0, 0.422650}},
                                       {5, {0, 2, 2.236068, 2}},
                                       {6, {3, 1, 0, -0.154701}},
                                       {7, {0, 0, 1.381966, 2}},
                                       {8, {0, 2.414214, 1.381966, 0.422650}},
                                       {9, {3, 0, 0, 1}},
                                       {10, {0, 1, 2.236068, 1.577350}},
                                       {11, {0, 2, 0, 0}},
                                       {12, {3, -0.414214, 1.381966, 2.154701}},
                                       {13, {0, 2, 1.381966, 0}},
                                       {14, {0, 1, 0, 1.577350}},
                                       {15, {3, 0, 2.236068, 1}}}};
    const std::array<double, 4> angles = {60.0, 90.0, 108.0, 120.0};
    for (const Row& row : rows) {
        for (std::size_t i = 0; i < angles.size(); ++i) {
            CHECK(v_block_factor(row.n, angles[i]) == Approx(row.factor[i]).margin(1e-6));
        }
    }
    for (const double angle : angles) CHECK(v_block_factor(1, angle) == Approx(0.0).margin(1e-12));
}

TEST_CASE("a journal in its V-block reads as the worked example, and the lobe rides with it") {
    // Readings in um of the form above on its own V-block, and the rise of its axis; from the factors, and by
    // dropping the body on two planes (within 1e-5 um).
    struct Row {
        double deg;
        double v90;
        double v108;
        double v120;
        double rise_v90;
    };
    const std::array<Row, 6> rows = {{{0, 7.10718, 9.02441, 9.60402, 1.08332},
                                      {30, 5.77025, 4.47441, 4.06249, 1.91685},
                                      {60, -0.59208, 0.41800, 0.63329, -0.33442},
                                      {90, -9.60439, -9.86759, -9.63366, -2.81862},
                                      {150, 6.23829, 5.78665, 5.20934, 2.31222},
                                      {270, 2.08685, -0.52139, -2.22414, 2.81862}}};
    const auto journal_um = [](double v_angle_deg, double deg) {
        const Station station(cam_in(v_angle_deg, worked_form(), {}), plain_rig(), "J1");
        return station.readings(rad_from_deg(deg)).front / um;
    };
    CamModel cam = cam_in(90.0, worked_form(), worked_form());
    const Station both(cam, plain_rig(), "1E");
    CamModel front_only = cam_in(90.0, worked_form(), {});
    const Station one(front_only, plain_rig(), "1E");
    for (const Row& row : rows) {
        CHECK(journal_um(90.0, row.deg) == Approx(row.v90).margin(1e-5));
        CHECK(journal_um(108.0, row.deg) == Approx(row.v108).margin(1e-5));
        CHECK(journal_um(120.0, row.deg) == Approx(row.v120).margin(1e-5));
        if (row.deg > 90.0 && row.deg < 270.0) continue;  // the lobe's own event
        CHECK(both.readings(rad_from_deg(row.deg)).front / um == Approx(row.rise_v90).margin(1e-5));
        // 86 and 94 mm of 300 from the front V-block, the rear one holding still.
        const Edges lobe = one.readings(rad_from_deg(row.deg));
        CHECK(lobe.front / um == Approx(row.rise_v90 * 214.0 / 300.0).margin(1e-5));
        CHECK(lobe.rear / um == Approx(row.rise_v90 * 206.0 / 300.0).margin(1e-5));
    }
}

TEST_CASE("true runout and roundness of a journal in a 90 degree V-block") {
    // Peak to valley of the worked form, 13.21814 um, and of its reading, 17.79819 um; found on steps of 0.01
    // degrees.
    const CamModel cam = cam_in(90.0, worked_form(), worked_form());
    const CamTruth truth = true_figures(cam, plain_rig(), cam, plain_rig());
    REQUIRE(truth.journals.size() == 2);
    CHECK(truth.journals[0].out_of_round_mm / um == Approx(13.21814).margin(0.003));  // steps of 0.9 degrees
    CHECK(truth.journals[0].runout_mm / um == Approx(17.79819).margin(0.003));
}

TEST_CASE("bend is twice the centre journal's distance from the line through the supported ones") {
    CamModel cam = cam_in(90.0, {}, {});
    cam.journals.push_back(journal("J2", 150.0, 0.0, {}));
    // The outer centres lie 2 and 6 um off along x: their line passes 4 um off at mid-length.
    cam.journals[0].bend_x_mm = 0.002;
    cam.journals[1].bend_x_mm = 0.006;
    cam.journals[2].bend_x_mm = 0.004 + 0.009;
    cam.journals[2].bend_y_mm = 0.012;
    const CamTruth truth = true_figures(cam, plain_rig(), cam, plain_rig());
    CHECK(truth.bend_mm.value == Approx(0.030).margin(1e-12));         // 2 x sqrt(9^2 + 12^2) um
    CHECK(truth.journals[2].runout_mm == Approx(0.030).margin(3e-6));  // once per turn of 0.015
    // The lobe at 90 mm of 150 runs out by as large a share.
    CHECK(truth.lobes[0].eccentricity_mm.value == Approx(0.015 * 90.0 / 150.0).margin(1e-9));
    CHECK(truth.lobes[0].eccentricity_deg == Approx(deg_from_rad(std::atan2(12.0, 9.0))).margin(1e-6));
}
