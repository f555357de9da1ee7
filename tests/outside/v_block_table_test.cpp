// V-blocks against outside figures. Home of the method: ISO 4292:1985 (title and scope seen), its table of F
// remembered as rounded absolute values that agree. Digits derived, numerically verified: a lobed convex body
// dropped on two planes and read by a flat tip agrees with the formula within 1e-12.
#include <array>
#include <cmath>
#include <complex>
#include <string>
#include <tuple>
#include <vector>

#include <catch2/catch.hpp>

#include "../analysis/made_run.hpp"
#include "analysis/support/axis_motion.hpp"
#include "analysis/support/v_block.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

struct Row {
    int n;
    std::array<double, 4> over;   // V of 60, 90, 108, 120 degrees, tip over the shaft
    std::array<double, 4> under;  // tip up through the V
};
constexpr std::array<double, 4> angles_deg{60.0, 90.0, 108.0, 120.0};
constexpr std::array<Row, 15> factors{
    {{1, {0, 0, 0, 0}, {0, 0, 0, 0}},
     {2, {0, 1, 1.381966, 1.577350}, {2, 1, 0.618034, 0.422650}},
     {3, {3, 2, 1.381966, 1}, {3, 2, 1.381966, 1}},
     {4, {0, -0.414214, 0, 0.422650}, {2, 2.414214, 2, 1.577350}},
     {5, {0, 2, 2.236068, 2}, {0, 2, 2.236068, 2}},
     {6, {3, 1, 0, -0.154701}, {-1, 1, 2, 2.154701}},
     {7, {0, 0, 1.381966, 2}, {0, 0, 1.381966, 2}},
     {8, {0, 2.414214, 1.381966, 0.422650}, {2, -0.414214, 0.618034, 1.577350}},
     {9, {3, 0, 0, 1}, {3, 0, 0, 1}},
     {10, {0, 1, 2.236068, 1.577350}, {2, 1, -0.236068, 0.422650}},
     {11, {0, 2, 0, 0}, {0, 2, 0, 0}},
     {12, {3, -0.414214, 1.381966, 2.154701}, {-1, 2.414214, 0.618034, -0.154701}},
     {13, {0, 2, 1.381966, 0}, {0, 2, 1.381966, 0}},
     {14, {0, 1, 0, 1.577350}, {2, 1, 2, 0.422650}},
     {15, {3, 0, 2.236068, 1}, {3, 0, 2.236068, 1}}}};

// The worked reconstruction: four harmonics, a_n cos(n t - p_n).
struct Undulation {
    int n;
    double um, phase_deg;
};
constexpr std::array<Undulation, 4> worked{{{2, 4.0, 20.0}, {3, 2.5, 70.0}, {5, 1.0, -35.0}, {7, 0.6, 10.0}}};

double undulation_um(const Undulation& u, double deg) {
    return u.um * std::cos((u.n * deg - u.phase_deg) * degree);
}

struct WorkedRow {
    double deg, true_um, v90, v108, v120, rise90;  // rise90: of the shaft's axis in the V of 90 degrees
};
constexpr std::array<WorkedRow, 6> worked_rows{{{0, 6.02386, 7.10718, 9.02441, 9.60402, 1.08332},
                                                {30, 3.85340, 5.77025, 4.47441, 4.06249, 1.91685},
                                                {60, -0.25766, -0.59208, 0.41800, 0.63329, -0.33442},
                                                {90, -6.78577, -9.60439, -9.86759, -9.63366, -2.81862},
                                                {150, 3.92607, 6.23829, 5.78665, 5.20934, 2.31222},
                                                {270, -0.73177, 2.08685, -0.52139, -2.22414, 2.81862}}};
constexpr double worked_peak_to_valley_um = 13.21814;
/// As swept in a V of 90, 108 and 120 degrees.
struct Swept {
    double v_angle_deg, peak_to_valley_um;
};
constexpr std::array<Swept, 3> swept{{{90.0, 17.79819}, {108.0, 19.25365}, {120.0, 19.44863}}};

/// A run in which two V-blocks carry a journal each of the worked form, swept every half degree.
Run shaft_in(double first_v_deg, double second_v_deg) {
    Run run;
    run.rig.error_limit_mm = 0.0;
    for (const auto& [name, z_mm, v_angle_deg] :
         {std::tuple("J1", 0.0, first_v_deg), std::tuple("J3", 300.0, second_v_deg)}) {
        Journal journal;
        journal.name = name;
        journal.z_mm = z_mm;
        journal.v_angle_deg = v_angle_deg;
        run.journals.push_back(journal);
        Sweep sweep;
        sweep.of = name;
        for (int i = 0; i < 720; ++i) {
            double um = 0.0;
            for (const auto& u : worked)
                um += v_block_reading(u.n, v_angle_deg).real() * undulation_um(u, 0.5 * i);
            sweep.angle_deg.push_back(0.5 * i);
            sweep.front_mm.push_back(1e-3 * um);
        }
        run.sweeps.push_back(sweep);
    }
    return run;
}

// What a journal's curve is smoothed by: harmonic m keeps 1/(1 + 5.8e-7 m^4) of itself (journals.cpp: lambda
// = 100 h^3 of the weight of a knot), so that the worked form loses at most 4e5-th of 5 undulations
// and 1.4e-3 of 7.
constexpr double smoothed_um = 0.003;

}  // namespace

TEST_CASE("F_n over and under the shaft is the published table's", "[outside][v-block]") {
    for (const auto& row : factors) {
        for (std::size_t v = 0; v < angles_deg.size(); ++v) {
            CAPTURE(row.n, angles_deg[v]);
            const auto over = v_block_reading(row.n, angles_deg[v]);
            const auto under = v_block_reading(row.n, angles_deg[v], 180.0);
            CHECK(over.real() == Approx(row.over[v]).margin(1e-6));
            CHECK(under.real() == Approx(row.under[v]).margin(1e-6));
            CHECK(v_block_rise(row.n, angles_deg[v]).real() == Approx(row.over[v] - 1.0).margin(1e-6));
            CHECK(over.imag() == Approx(0.0).margin(1e-9));
            CHECK(under.imag() == Approx(0.0).margin(1e-9));
        }
    }
}

TEST_CASE("F_n beside the bisector", "[outside][v-block]") {
    // 25 degrees off it, V of 90 degrees: size and phase. Derived, numerically verified.
    struct Beside {
        int n;
        double size, phase_deg;
    };
    constexpr std::array<Beside, 4> rows{
        {{2, 1.507614, 14.7632}, {3, 1.285575, -50.0}, {4, 1.757248, 45.9147}, {7, 1.969616, -10.0}}};
    for (const auto& row : rows) {
        CAPTURE(row.n);
        const auto f = v_block_reading(row.n, 90.0, 25.0);
        CHECK(std::abs(f) == Approx(row.size).margin(1e-6));
        CHECK(deg_from_rad(std::arg(f)) == Approx(row.phase_deg).margin(1e-4));
    }
}

TEST_CASE("the worked reading of a lobed shaft is F_n times its harmonics", "[outside][v-block]") {
    for (const auto& row : worked_rows) {
        double own = 0.0, v90 = 0.0, v108 = 0.0, v120 = 0.0, rise90 = 0.0;
        for (const auto& u : worked) {
            own += undulation_um(u, row.deg);
            v90 += v_block_reading(u.n, 90.0).real() * undulation_um(u, row.deg);
            v108 += v_block_reading(u.n, 108.0).real() * undulation_um(u, row.deg);
            v120 += v_block_reading(u.n, 120.0).real() * undulation_um(u, row.deg);
            rise90 += v_block_rise(u.n, 90.0).real() * undulation_um(u, row.deg);
        }
        CAPTURE(row.deg);
        CHECK(own == Approx(row.true_um).margin(1e-5));
        CHECK(v90 == Approx(row.v90).margin(1e-5));
        CHECK(v108 == Approx(row.v108).margin(1e-5));
        CHECK(v120 == Approx(row.v120).margin(1e-5));
        CHECK(rise90 == Approx(row.rise90).margin(1e-5));
    }
}

TEST_CASE("V-blocks of 108 and 120 degrees give the worked shaft back whole",
          "[outside][v-block][journals]") {
    for (const double v_angle_deg : {108.0, 120.0}) {
        const Run run = shaft_in(v_angle_deg, v_angle_deg);
        const auto journals = journal_curves(run);
        REQUIRE(journals.size() == 2);
        std::vector<std::string> notes;
        const AxisMotion motion(run, journals, {}, notes);
        CAPTURE(v_angle_deg);
        for (const auto& journal : journals) {
            CHECK(1e3 * journal_figures(journal, motion, 0.0).out_of_round_mm.value ==
                  Approx(worked_peak_to_valley_um).margin(smoothed_um));
        }
        for (const auto& row : worked_rows) {
            CAPTURE(row.deg);
            const double seen = v_angle_deg == 108.0 ? row.v108 : row.v120;
            CHECK(1e3 * motion.at(120.0, row.deg * degree) == Approx(seen - row.true_um).margin(smoothed_um));
        }
    }
}

TEST_CASE("a V-block of 90 degrees gives back all but seven undulations", "[outside][v-block][journals]") {
    const Run run = shaft_in(90.0, 90.0);
    std::vector<std::string> notes;
    const auto journals = journal_curves(run);
    const AxisMotion motion(run, journals, {}, notes);
    for (const auto& row : worked_rows) {
        CAPTURE(row.deg);
        // F_7 = 0: nothing of it is read, and what it lifts the axis by (D_7 = -1) can't be known.
        const double hidden = -undulation_um(worked[3], row.deg);
        CHECK(1e3 * motion.at(0.0, row.deg * degree) ==
              Approx(row.v90 - row.true_um - hidden).margin(smoothed_um));
    }
}

TEST_CASE("the worked shaft's runout as swept", "[outside][v-block][journals]") {
    for (const auto& row : swept) {
        CAPTURE(row.v_angle_deg);
        const Run run = shaft_in(row.v_angle_deg, row.v_angle_deg);
        std::vector<std::string> notes;
        const auto journals = journal_curves(run);
        const AxisMotion motion(run, journals, {}, notes);
        for (const auto& journal : journals) {
            CHECK(1e3 * journal_figures(journal, motion, 0.0).runout_mm.value ==
                  Approx(row.peak_to_valley_um).margin(2.0 * smoothed_um));  // at both extremes
        }
    }
}

TEST_CASE("between two V-blocks the axis rises by the linear mix of both", "[outside][v-block][journals]") {
    const Run run = shaft_in(108.0, 120.0);
    std::vector<std::string> notes;
    const AxisMotion motion(run, journal_curves(run), {}, notes);
    for (const auto& row : worked_rows) {
        for (const double z_mm : {0.0, 75.0, 120.0, 300.0, 360.0}) {
            CAPTURE(row.deg, z_mm);
            const double first = row.v108 - row.true_um, second = row.v120 - row.true_um;
            const double mix = ((300.0 - z_mm) * first + z_mm * second) / 300.0;
            CHECK(1e3 * motion.at(z_mm, row.deg * degree) == Approx(mix).margin(smoothed_um));
        }
    }
}
