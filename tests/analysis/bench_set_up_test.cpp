// A bench's set-up file, and what its figures do to a lobe: indicators at the cam's side, tip lines that lean or pass
// beside the axis, an encoder with an error of its own. All truth by closed forms.
#include "analysis/support/bench_set_up.hpp"

#include <cmath>
#include <fstream>
#include <string>

#include <catch2/catch.hpp>

#include "analysis/compare.hpp"
#include "analysis/errors.hpp"
#include "analysis/support/v_block.hpp"
#include "tests/analysis/made_run.hpp"
#include "tests/cli/program.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

BenchSetUp read_text(const TempFolder& folder, const std::string& text) {
    const std::filesystem::path file = folder.path() / "setup.toml";
    std::ofstream(file, std::ios::binary) << text;
    return read_bench_set_up(file);
}

std::string refusal(const std::string& text) {
    const TempFolder folder;
    try {
        read_text(folder, text);
    } catch (const DataError& error) {
        return error.what();
    }
    return "not refused";
}

const std::string head = "format = \"lobewright-setup/1\"\nunits = \"in\"\n";

/// 4-5-6-7 rise and fall of 60 degrees each, nose at 180.
double lift_mm(double rad) {
    const double x = 1.0 - std::fabs(from_nose_deg(rad, 180.0)) / 60.0;
    return x <= 0.0 ? 0.0 : 6.0 * x * x * x * x * (35.0 + x * (-84.0 + x * (70.0 - 20.0 * x)));
}

double largest_off(const CamFigures& found) {
    const auto& curves = found.lobes.at(0).curves;
    double most = 0.0;
    for (std::size_t i = 0; i < curves.angle_deg.size(); ++i) {
        most = std::max(most, std::fabs(curves.front_mm[i] - lift_mm(curves.angle_deg[i] * degree)));
    }
    return most;
}

}  // namespace

TEST_CASE("a set-up file's figures are read in its units", "[set-up]") {
    const TempFolder folder;
    const auto found =
        read_text(folder, head +
                              "[setup]\nindicator_deg = 90\ntip_offset = -0.1\ntip_lean_deg = 2.5\n"
                              "encoder_limit_deg = 0.02\njournal_roundness = 0.0002\n");
    CHECK(found.indicator_deg == 90.0);
    CHECK(found.tip_offset_mm == Approx(-2.54));
    CHECK(found.tip_lean_deg == 2.5);
    CHECK(found.encoder_limit_deg == 0.02);
    CHECK(found.journal_roundness_mm == Approx(0.00508));
    CHECK(read_text(folder, head).journal_roundness_mm == BenchSetUp{}.journal_roundness_mm);
}

TEST_CASE("a set-up file with something wrong is refused with file, line and key", "[set-up]") {
    CHECK_THAT(refusal("units = \"mm\"\n"), Catch::Contains("setup.toml: key 'format' is missing"));
    CHECK_THAT(refusal("format = \"lobewright-setup/2\"\nunits = \"mm\"\n"),
               Catch::Contains("setup.toml:1: format"));
    CHECK_THAT(refusal(head + "[setup]\nindicator = 90\n"),
               Catch::Contains("setup.toml:4: [setup] key \"indicator\""));
    CHECK_THAT(refusal(head + "[setup]\ntip_lean_deg = 80\n"),
               Catch::Contains("setup.toml:4: [setup] tip_lean_deg must be from -45 to 45, not 80"));
    CHECK_THAT(refusal(head + "[setup]\nencoder_limit_deg = nan\n"), Catch::Contains("must be from 0 to 5"));
    CHECK_THAT(refusal(head + "[setup]\ntip_offset = \"far\"\n"), Catch::Contains("must be a number"));
    CHECK_THAT(refusal(head + "[limits]\n"), Catch::Contains("known are format, units, [setup]"));
}

TEST_CASE("a tip that leans reads the cosine error, and it is taken off", "[set-up]") {
    const double lean_deg = 5.0;
    const Run run = made_run([&](double rad, double) { return lift_mm(rad) / std::cos(lean_deg * degree); });
    AnalysisOptions options;
    options.used.tip_lean_deg = lean_deg;
    CHECK(inspect_run(run).lobes[0].lift.used_mm.value ==
          Approx(6.0 / std::cos(lean_deg * degree)).margin(1e-4));
    CHECK(inspect_run(run, options).lobes[0].lift.used_mm.value == Approx(6.0).margin(1e-4));
}

TEST_CASE("the V-blocks' motion is taken off with the indicators anywhere round the cam", "[set-up]") {
    // Journals of 3 um in 2 and 3 undulations; what they read and what they move the lobe by follows from F_n and D_n,
    // which tests/analysis/v_block_test.cpp holds against a shaft laid into the V.
    for (const double beta_deg : {0.0, 90.0, -50.0, 180.0}) {
        CAPTURE(beta_deg);
        const auto journal = [&](double rad, bool motion_only) {
            double sum = 0.0;
            for (const int n : {2, 3}) {
                const auto f =
                    motion_only ? v_block_rise(n, 90.0, beta_deg) : v_block_reading(n, 90.0, beta_deg);
                sum += (f * std::polar(0.003, n * (beta_deg * degree - rad) - 0.4 * n)).real();
            }
            return sum;
        };
        Run run = made_run([&](double rad, double) { return lift_mm(rad) + journal(rad, true); });
        run.lobes[0].z_mm = 100.0;
        for (const auto& [name, z] : {std::pair("J1", 0.0), std::pair("J2", 300.0)}) {
            Journal one;
            one.name = name;
            one.z_mm = z;
            one.v_angle_deg = 90.0;
            run.journals.push_back(one);
            Sweep sweep = made_run([&](double rad, double) { return journal(rad, false); }).sweeps[0];
            sweep.of = name;
            run.sweeps.push_back(sweep);
        }
        AnalysisOptions options;
        options.used.indicator_deg = beta_deg;
        // The journals' curve is smoothed by up to 5e-5 of 3 undulations.
        CHECK(largest_off(inspect_run(run, options)) < 2e-5);
        if (beta_deg == 90.0) CHECK(largest_off(inspect_run(run)) > 0.002);
    }
}

TEST_CASE("an encoder's stated error turns the nose by its low harmonics", "[set-up]") {
    const Run run = made_run([](double rad, double) { return lift_mm(rad); }, {.step_deg = 0.1});
    AnalysisOptions options;
    options.used.encoder_limit_deg = 0.06;
    const auto with = inspect_run(run, options), without = inspect_run(run);
    // The centreline is the mean of both half-lift flanks, 60 degrees apart on this symmetrical program (x = 1/2): of
    // harmonic h it takes cos(h 30 deg). Standard deviation limit/sqrt3 in all; harmonics 1 to 4 hold 1/2, 1/4, 1/8, 1/8.
    double share = 0.0;
    const double spectrum[] = {0.5, 0.25, 0.125, 0.125};
    for (int h = 1; h <= 4; ++h) share += spectrum[h - 1] * std::pow(std::cos(30.0 * h * degree), 2);
    const double expected = 1.96 * 0.06 / std::sqrt(3.0) * std::sqrt(share);
    CHECK(std::sqrt(std::pow(with.lobes[0].nose_deg.u95, 2) - std::pow(without.lobes[0].nose_deg.u95, 2)) ==
          Approx(expected).epsilon(0.02));
    // At the nose itself the slope is nought: lift hardly minds.
    CHECK(with.lobes[0].lift.used_mm.u95 < without.lobes[0].lift.used_mm.u95 + 2e-4);
}

TEST_CASE("a point tip beside the axis reads the same lobe once its offset is known", "[set-up]") {
    // What a point in line reads of the lobe: the outline's own polar radius; beside the axis by e it stands at the
    // height y along its line when y^2 + e^2 = R(psi + atan2(e, y))^2.
    const double e = 0.8, base = 15.0;
    const auto radius = [&](double alpha) { return base + lift_mm(alpha); };
    const auto height = [&](double psi) {
        double y = std::sqrt(base * base - e * e);
        for (int i = 0; i < 200; ++i) {
            const double r = radius(psi + std::atan2(e, y));
            y += 0.5 * (std::sqrt(r * r - e * e) - y);  // halved steps: it settles on the steepest flank, too
        }
        return y;
    };
    Run beside = made_run([&](double rad, double) { return height(rad); });
    Run in_line = made_run([&](double rad, double) { return radius(rad); });
    beside.rig.tip = in_line.rig.tip = Tip::point;
    AnalysisOptions options;
    options.used.tip_offset_mm = e;
    const auto expected = inspect_run(in_line).lobes[0], found = inspect_run(beside, options).lobes[0],
               ignored = inspect_run(beside).lobes[0];
    CHECK(found.lift.used_mm.value == Approx(expected.lift.used_mm.value).margin(2e-5));
    CHECK(found.nose_deg.value == Approx(expected.nose_deg.value).margin(1e-3));
    double off = 0.0, off_ignored = 0.0;
    for (std::size_t i = 0; i < found.curves.front_mm.size(); ++i) {
        off = std::max(off, std::fabs(found.curves.front_mm[i] - expected.curves.front_mm[i]));
        off_ignored =
            std::max(off_ignored, std::fabs(ignored.curves.front_mm[i] - expected.curves.front_mm[i]));
    }
    CHECK(off < 5e-4);
    CHECK(off_ignored > 0.1);
}
