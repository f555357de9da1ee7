// What a drawn run's rows scatter by: every input once, none twice.
#include "analysis/draws/drawn_run.hpp"

#include <cmath>
#include <vector>

#include <catch2/catch.hpp>

#include "drawn_lobe.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

// 400 draws know a standard deviation to 3.5 % where they are normal, to 2.2 % where they are rectangular: checks allow
// three times that.

/// A run with its preparation, and the draws of it.
struct Drawn {
    explicit Drawn(Run made, const BenchSetUp& set_up = {})
        : run(std::move(made)), prepared(prepare_runs({{&run, set_up}}, 1)), draws(prepared[0]) {}
    Drawn(const Drawn&) = delete;

    [[nodiscard]] const LobeCurve& curve() const { return *prepared[0].curves[0]; }

    Run run;
    std::vector<PreparedRun> prepared;
    RunDraws draws;
    DrawEngine engine{7};
};

/// The lobe read at every one of `counts` counts a turn, each `readings` times.
Run counted_run(int counts, int readings, double noise_mm) {
    Run run = drawn_lobe_run();
    Sweep& sweep = run.sweeps[0];
    Random random(3);
    sweep.angle_deg.clear();
    sweep.front_mm.clear();
    sweep.rear_mm.clear();
    for (int count = 0; count < counts; ++count) {
        for (int i = 0; i < readings; ++i) {
            const double rad = 2.0 * std::numbers::pi * count / counts;
            sweep.count.push_back(count);
            sweep.front_mm.push_back(drawn_lobe_mm(rad) + noise_mm * random.normal());
            sweep.rear_mm.push_back(drawn_lobe_mm(rad) + noise_mm * random.normal());
        }
    }
    run.rig.counts_per_rev = counts;
    return run;
}

}  // namespace

TEST_CASE("noise is drawn once: a heel's rows scatter by it, not by it and what was measured", "[draws]") {
    Drawn drawn(drawn_lobe_run({.step_deg = 0.1, .noise_mm = 0.001}));
    const Run fresh = drawn.draws.draw(drawn.engine);
    std::vector<double> heel, measured_too;
    for (std::size_t i = 0; i < 1000; ++i) {  // 0 to 100 degrees
        heel.push_back(fresh.sweeps[0].front_mm[i]);
        measured_too.push_back(fresh.sweeps[0].front_mm[i] - drawn.run.sweeps[0].front_mm[i]);
    }
    CHECK(sd_of(heel) == Approx(0.001).epsilon(0.08));
    // Independent of what was measured, not a copy of it.
    CHECK(sd_of(measured_too) == Approx(0.001 * std::sqrt(2.0)).epsilon(0.08));
    CHECK(fresh.sweeps[0].angle_deg == drawn.run.sweeps[0].angle_deg);
}

TEST_CASE("rows lie in whole steps, their marks at another place in each draw", "[draws]") {
    Run run = drawn_lobe_run();
    run.rig.resolution_mm = 0.01;
    Drawn drawn(run);
    std::vector<double> level;
    for (int i = 0; i < 400; ++i) {
        const Run fresh = drawn.draws.draw(drawn.engine);
        const auto& front = fresh.sweeps[0].front_mm;
        const double steps = (front[360] - front[0]) / 0.01;
        CHECK(steps == Approx(std::round(steps)).margin(1e-6));
        level.push_back(front[0]);
    }
    CHECK(sd_of(level) == Approx(0.01 / std::sqrt(12.0)).epsilon(0.07));  // rectangular
}

TEST_CASE("the encoder moves a flank by its slope, both indicators alike, and all readings of a rest alike",
          "[draws]") {
    Drawn drawn(counted_run(720, 3, 1e-5));
    const std::size_t row = 900;  // half up the opening flank, where a 3-4-5 rises by 15/8 of its mean slope
    const double slope = 1.875 * drawn_lift_mm / (60.0 * degree);
    std::vector<double> off;
    for (int i = 0; i < 400; ++i) {
        const Run fresh = drawn.draws.draw(drawn.engine);
        const auto& sweep = fresh.sweeps[0];
        off.push_back(sweep.front_mm[row]);
        CHECK(sweep.front_mm[row] == Approx(sweep.rear_mm[row]).margin(2e-4));
        CHECK(sweep.front_mm[row] == Approx(sweep.front_mm[row + 2]).margin(2e-4));
    }
    CHECK(sd_of(off) == Approx(slope * 0.5 * degree / std::sqrt(12.0)).epsilon(0.07));
}

TEST_CASE("both indicators walk together and apart, as strongly as the curve says", "[draws]") {
    Drawn drawn(drawn_lobe_run({.step_deg = 0.5, .noise_mm = 0.0001}));
    constexpr double alike = 0.002, apart = 0.001;  // mm a root turn
    auto& strength = drawn.prepared[0].curves[0]->noise.walk_strength;
    strength[static_cast<std::size_t>(Wander::alike)] = {alike * alike, 1e6};
    strength[static_cast<std::size_t>(Wander::apart)] = {apart * apart, 1e6};
    const RunDraws draws(drawn.prepared[0]);
    std::vector<double> mean, half, end;
    for (int i = 0; i < 400; ++i) {
        const Run fresh = draws.draw(drawn.engine);
        const auto &front = fresh.sweeps[0].front_mm, &rear = fresh.sweeps[0].rear_mm;
        mean.push_back(0.5 * (mean_of(front) + mean_of(rear)));
        half.push_back(0.5 * (mean_of(rear) - mean_of(front)));
        end.push_back(0.5 * (front.back() + rear.back()));
    }
    // A Wiener process from nothing: its variance after a turn is its strength, that of its mean over the turn a third.
    CHECK(sd_of(end) == Approx(alike).epsilon(0.11));
    CHECK(sd_of(mean) == Approx(alike / std::sqrt(3.0)).epsilon(0.11));
    CHECK(sd_of(half) == Approx(apart / std::sqrt(3.0)).epsilon(0.11));
}

TEST_CASE("what may hide between the rows of a table is drawn off the heel", "[draws]") {
    Drawn drawn(drawn_lobe_run({.step_deg = 5.0}));
    const double hidden = drawn.curve().interpolation_mm;
    REQUIRE(hidden > 1e-4);
    std::vector<double> flank, heel;
    for (int i = 0; i < 400; ++i) {
        const Run fresh = drawn.draws.draw(drawn.engine);
        flank.push_back(fresh.sweeps[0].front_mm[30]);
        heel.push_back(fresh.sweeps[0].front_mm[2]);
    }
    CHECK(sd_of(flank) == Approx(hidden).epsilon(0.11));
    CHECK(sd_of(heel) < 0.1 * hidden);
}

TEST_CASE("a grown cam's lift is larger, its heel where it was", "[draws]") {
    Drawn drawn(drawn_lobe_run());
    DrawEngine same = drawn.engine;
    const Run cold = drawn.draws.draw(same);
    same = drawn.engine;
    const Run warm = drawn.draws.draw(same, {}, 1e-3);
    CHECK(warm.sweeps[0].front_mm[360] - cold.sweeps[0].front_mm[360] ==
          Approx(1e-3 * drawn_lift_mm).epsilon(1e-3));
    CHECK(warm.sweeps[0].front_mm[0] == Approx(cold.sweeps[0].front_mm[0]).margin(1e-8));
}

TEST_CASE("journals are drawn with their form, and a column that a sweep lacks stays away", "[draws]") {
    Run run = drawn_lobe_run();
    run.journals.push_back({"J1", 0.0, {}, 90.0});
    Sweep sweep;
    sweep.of = "J1";
    sweep.file = "made/sweeps/J1.csv";
    Random random(11);
    for (int i = 0; i < 3600; ++i) {
        sweep.angle_deg.push_back(0.1 * i);
        sweep.front_mm.push_back(0.02 * std::cos(2.0 * 0.1 * i * degree) + 0.0005 * random.normal());
    }
    run.sweeps.push_back(sweep);
    Drawn drawn(run);
    const Run fresh = drawn.draws.draw(drawn.engine);
    REQUIRE(fresh.sweeps[1].rear_mm.empty());
    std::vector<double> off;
    for (std::size_t i = 0; i < 3600; ++i) {
        off.push_back(fresh.sweeps[1].front_mm[i] -
                      0.02 * std::cos(2.0 * 0.1 * static_cast<double>(i) * degree));
    }
    CHECK(sd_of(off) == Approx(0.0005).epsilon(0.06));
}

TEST_CASE("an encoder's own error moves a flank by its slope, both indicators alike", "[draws]") {
    BenchSetUp set_up;
    set_up.encoder_limit_deg = 0.05;
    Drawn drawn(drawn_lobe_run(), set_up);
    const std::size_t row = 300;  // half up the opening flank
    std::vector<double> off;
    for (int i = 0; i < 400; ++i) {
        const Run fresh = drawn.draws.draw(drawn.engine);
        off.push_back(fresh.sweeps[0].front_mm[row]);
        CHECK(fresh.sweeps[0].rear_mm[row] == Approx(off.back()).margin(2e-4));
    }
    const double slope = 1.875 * drawn_lift_mm / (60.0 * degree);
    CHECK(sd_of(off) == Approx(slope * 0.05 * degree / std::sqrt(3.0)).epsilon(0.11));
}

TEST_CASE("what isn't known of the axis moves both runs alike, at the same place of the cam", "[draws]") {
    Run run = drawn_lobe_run();
    run.lobes[0].z_mm = 30.0;
    run.journals = {{"J1", 10.0, {}, 90.0}, {"J2", 50.0, {}, 90.0}};  // in V-blocks and not swept
    Drawn drawn(run);
    const auto& doubt = drawn.curve().axis_doubt_mm;
    REQUIRE(doubt.size() > 2);
    double variance = 0.0;
    for (const double mm : doubt) variance += mm * mm;
    REQUIRE(variance > 0.0);
    const RunDraws turned(drawn.prepared[0], {{"1E", 40.0}});
    std::vector<double> heel;
    for (int i = 0; i < 400; ++i) {
        const AxisDraw axis = draw_axis(drawn.run, drawn.engine);
        const Run fresh = drawn.draws.draw(drawn.engine, axis), other = turned.draw(drawn.engine, axis);
        // The heel is round and level: what its rows show is the axis.
        heel.push_back(fresh.sweeps[0].front_mm[60]);
        CHECK(other.sweeps[0].front_mm[60 + 80] == Approx(heel.back()).margin(1e-4));
        CHECK(fresh.sweeps[0].rear_mm[60] == Approx(heel.back()).margin(1e-4));
    }
    CHECK(sd_of(heel) == Approx(std::sqrt(variance)).epsilon(0.11));
}

TEST_CASE("leaning tips travel further, and the analysis takes it off again", "[draws]") {
    BenchSetUp set_up;
    set_up.tip_lean_deg = 20.0;
    Drawn drawn(drawn_lobe_run(), set_up);
    const Run fresh = drawn.draws.draw(drawn.engine);
    CHECK(fresh.sweeps[0].front_mm[360] == Approx(drawn.run.sweeps[0].front_mm[360]).margin(1e-3));
}
