// The cam's axis: bend as a curve, what straightening leaves, roundness below a cut-off. Runs by closed forms.
#include "analysis/axis/axis_report.hpp"

#include <cmath>
#include <complex>
#include <string>
#include <vector>

#include <catch2/catch.hpp>

#include "analysis/errors.hpp"
#include "analysis/support/axis_curve.hpp"
#include "rig/model/example_cams.hpp"
#include "rig/model/simulate.hpp"
#include "tests/analysis/made_run.hpp"

using namespace lobewright;
using namespace lobewright::tests;
using Offset = std::complex<double>;

namespace {

double lift_mm(double rad) {
    const double x = 1.0 - std::fabs(from_nose_deg(rad, 180.0)) / 60.0;
    return x <= 0.0 ? 0.0 : 6.0 * x * x * x * x * (35.0 + x * (-84.0 + x * (70.0 - 20.0 * x)));
}

/// An axis that lies off by `offset` as a reading.
double off_axis(Offset offset, double rad) {
    return (offset * std::polar(1.0, -rad)).real();
}

void add_journal(Run& run, const std::string& name, double z_mm, bool in_v_block, const Reading& reading) {
    Journal journal;
    journal.name = name;
    journal.z_mm = z_mm;
    if (in_v_block) journal.v_angle_deg = 90.0;
    run.journals.push_back(journal);
    Sweep sweep = made_run(reading).sweeps[0];
    sweep.of = name;
    run.sweeps.push_back(sweep);
}

}  // namespace

TEST_CASE("between three journals the bend is the thin bar's curve", "[axis]") {
    // Free at its ends and pushed off by 1 in the middle, a bar stands at (3t - t^3)/2 of it, t from either end to the
    // middle: 11/16 at a quarter (any textbook of strength of materials: a beam on two supports, load at mid-span).
    const Offset middle = std::polar(0.03, 1.1);
    Run run = made_run([&](double rad, double) {
        return lift_mm(rad) + off_axis(0.6875 * middle + Offset(0.004, 0.0), rad);
    });
    run.lobes[0].z_mm = 75.0;
    const auto still = [](double, double) { return 0.0; };
    add_journal(run, "J1", 0.0, true, still);
    add_journal(run, "J2", 150.0, false, [&](double rad, double) { return off_axis(middle, rad); });
    add_journal(run, "J3", 300.0, true, still);
    const auto report = axis_report(run);
    CHECK_FALSE(report.between_centres);
    CHECK(report.bend_mm.value == Approx(0.06).margin(1e-5));
    const LobeAxis& lobe = report.lobes.at(0);
    CHECK(lobe.bend.size_mm.value == Approx(0.6875 * 0.03).margin(1e-5));
    CHECK(lobe.bend.toward_deg == Approx(1.1 / degree).margin(0.05));
    CHECK(lobe.left.size_mm.value == Approx(0.004).margin(2e-5));
    CHECK(report.runout_left_mm.value == Approx(0.008).margin(4e-5));
}

TEST_CASE("between centres the line goes through the outermost journals", "[axis]") {
    const Offset front(0.02, 0.01), rear(-0.01, 0.03), bow(0.0, -0.025);
    const auto line = [&](double z) { return front + (rear - front) * (z / 400.0); };
    Run run = made_run([&](double rad, double) { return lift_mm(rad) + off_axis(line(200.0) + bow, rad); });
    run.lobes[0].z_mm = 200.0;
    for (const auto& [name, z] : {std::pair("J1", 0.0), std::pair("J2", 200.0), std::pair("J3", 400.0)}) {
        const Offset at = line(z) + (z == 200.0 ? bow : Offset{});
        add_journal(run, name, z, false, [at](double rad, double) { return off_axis(at, rad); });
    }
    const auto report = axis_report(run);
    CHECK(report.between_centres);
    CHECK(report.bend_mm.value == Approx(0.05).margin(1e-5));
    CHECK(report.journals[1].axis.toward_deg == Approx(270.0).margin(0.05));
    CHECK(report.lobes[0].as_swept.size_mm.value == Approx(std::abs(line(200.0) + bow)).margin(1e-5));
    CHECK(report.lobes[0].left.size_mm.value == Approx(0.0).margin(1e-5));
}

TEST_CASE("roundness counts what the filter's cut-off leaves", "[axis]") {
    // One wave of 12 undulations under a cut-off of 6: 2^-4 of it passes (ISO 16610-21's transmission); the journals'
    // curve keeps 1/(1 + 5.8e-7 x 12^4) of it (journals.cpp: smoothed).
    Run run = made_run([](double rad, double) { return lift_mm(rad); });
    add_journal(run, "J1", 0.0, false, [](double rad, double) { return 0.01 * std::cos(12.0 * rad); });
    AxisOptions options;
    options.cutoff_upr = 6.0;
    const double kept = 1.0 / (1.0 + 5.8e-7 * std::pow(12.0, 4));
    CHECK(axis_report(run, options).journals[0].roundness_mm.value ==
          Approx(0.02 / 16.0 * kept).margin(2e-6));
    options.cutoff_upr = 0.5;
    CHECK_THROWS_AS(axis_report(run, options), UsageError);
}

TEST_CASE("undulations that the V-block hides are unknown, not nought", "[axis]") {
    Run run = made_run([](double rad, double) { return lift_mm(rad); });
    add_journal(run, "J1", 0.0, true, [](double, double) { return 0.0; });
    const auto undulations = axis_report(run).journals[0].undulations;
    for (const Undulation& one : undulations) {
        const bool hidden = one.per_turn == 7 || one.per_turn == 9 || one.per_turn == 15;
        CAPTURE(one.per_turn);
        CHECK(one.amplitude_mm.known() != hidden);
    }
}

TEST_CASE("bend and what straightening leaves hold inside their u95 on a simulated cam", "[axis]") {
    CamModel cam = launch_engine_cam();
    for (auto& lobe : cam.lobes) lobe.form.clear();
    cam.journals[1].bend_x_mm = 0.018;
    cam.journals[1].bend_y_mm = -0.011;
    RigModel rig;
    rig.info.counts_per_rev = 7200;
    rig.info.front_z_mm = -4.0;
    rig.info.rear_z_mm = 4.0;
    rig.info.resolution_mm = 0.0005;
    rig.noise_mm = 0.0005;
    RunPlan plan;
    plan.journal_passes = 2;
    int inside = 0, count = 0;
    for (std::uint64_t seed = 1; seed <= 8; ++seed) {
        const auto report = axis_report(simulate_run(cam, rig, {}, {}, plan, seed));
        const double off = report.bend_mm.value - 2.0 * std::hypot(0.018, 0.011);
        inside += std::abs(off) <= report.bend_mm.u95;
        ++count;
        CHECK(std::abs(off) < 3.0 * report.bend_mm.u95);
        CHECK(report.bend_mm.u95 < 0.001);
    }
    CHECK(inside >= count - 2);
}

TEST_CASE("without journals the axis isn't known, and the lobes still are", "[axis]") {
    const auto report = axis_report(made_run([](double rad, double) {
        return lift_mm(rad) + off_axis({0.01, 0.0}, rad);
    }));
    CHECK_FALSE(report.bend_mm.known());
    CHECK_FALSE(report.lobes[0].left.size_mm.known());
    CHECK(report.lobes[0].as_swept.size_mm.value == Approx(0.01).margin(1e-6));
    REQUIRE_FALSE(report.notes.empty());
    CHECK_THAT(report.notes.front(), Catch::Contains("bend isn't known"));
}
