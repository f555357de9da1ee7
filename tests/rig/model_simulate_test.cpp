// Simulated runs: the same seed gives the same run, and each imperfection has the size that was asked for.
#include <algorithm>
#include <cmath>
#include <set>

#include <catch2/catch.hpp>

#include "analysis/errors.hpp"
#include "analysis/run/sweep_csv.hpp"
#include "analysis/units.hpp"
#include "rig/model/example_cams.hpp"
#include "rig/model/simulate.hpp"

using namespace lobewright;

namespace {

RigModel quiet_rig() {
    RigModel rig;
    rig.info.counts_per_rev = 7200;
    rig.info.front_z_mm = -4.0;
    rig.info.rear_z_mm = 4.0;
    return rig;
}

CamModel one_lobe() {
    CamModel cam = launch_engine_cam();
    cam.journals.clear();
    cam.lobes.resize(1);
    return cam;
}

HandModel steady_hand() {
    HandModel hand;
    hand.pauses_per_turn = 0.0;
    hand.backward_per_turn = 0.0;
    hand.start_deg = 0.0;
    return hand;
}

Sweep sweep_of(const RigModel& rig, const HandModel& hand, const Faults& faults = {},
               std::uint64_t seed = 1) {
    return simulate_run(one_lobe(), rig, hand, faults, {}, seed).sweeps.at(0);
}

double mean_of(const std::vector<double>& values) {
    double sum = 0.0;
    for (const double value : values) sum += value;
    return sum / static_cast<double>(values.size());
}

double deviation_of(const std::vector<double>& values) {
    const double mean = mean_of(values);
    double sum = 0.0;
    for (const double value : values) sum += (value - mean) * (value - mean);
    return std::sqrt(sum / static_cast<double>(values.size() - 1));
}

/// Front readings of one sweep less those of another taken with the same seed.
std::vector<double> front_difference(const Sweep& sweep, const Sweep& from) {
    REQUIRE(sweep.front_mm.size() == from.front_mm.size());
    std::vector<double> difference;
    for (std::size_t i = 0; i < sweep.front_mm.size(); ++i)
        difference.push_back(sweep.front_mm[i] - from.front_mm[i]);
    return difference;
}

}  // namespace

TEST_CASE("a seed gives one run, another seed another, and more passes leave the first as it was") {
    RigModel rig = quiet_rig();
    rig.info.resolution_mm = 0.0005;
    rig.info.error_limit_mm = 0.002;
    rig.noise_mm = 0.0005;
    rig.datum = DatumModel{};
    RunPlan plan;
    plan.lobe_passes = 1;
    const auto text = [&](std::uint64_t seed) {
        const Run run = simulate_run(one_lobe(), rig, {}, {}, plan, seed);
        return print_sweep(run.sweeps.at(0), Units::mm, 4) + std::to_string(run.datum->rear_minus_front_mm);
    };
    const std::string first = text(5);
    CHECK(first == text(5));
    CHECK(first != text(6));
    plan.lobe_passes = 3;
    CHECK(first == text(5));
}

TEST_CASE("without imperfections the readings are the lobe's closed form at the angle of the count") {
    const CamModel cam = one_lobe();
    const RigModel rig = quiet_rig();
    HandModel hand = steady_hand();
    hand.start_deg = 0.3;
    RigModel latched = rig;
    latched.sampling = Sampling::by_count;
    latched.every_counts = 8;
    const Sweep sweep = sweep_of(latched, hand);
    const LobeShape shape(cam.lobes[0]);
    REQUIRE(sweep.rows() >= 900);
    for (std::size_t i = 0; i < sweep.rows(); i += 7) {
        REQUIRE(sweep.count[i] % 8 == 0);
        const double rad = rad_from_deg(static_cast<double>(sweep.count[i]) * 0.05);
        const Section section = shape.section(Turned(rad));
        CHECK(sweep.front_mm[i] == Approx(section.at(-4.0).h - 14.0).margin(1e-10));
        CHECK(sweep.rear_mm[i] == Approx(section.at(4.0).h - 14.0).margin(1e-10));
    }
}

TEST_CASE("counts follow direction, zero and index phase") {
    const CamModel cam = one_lobe();
    RigModel rig = quiet_rig();
    rig.sampling = Sampling::by_count;
    rig.info.direction = -1;
    rig.info.zero_deg = 90.0;
    rig.index_phase_deg = 25.0;
    const Sweep sweep = sweep_of(rig, steady_hand());
    CHECK(sweep.count.back() < sweep.count.front());
    const LobeShape shape(cam.lobes[0]);
    for (std::size_t i = 0; i < sweep.rows(); i += 501) {
        // Cam angle of the run is zero - count x 0.05; the lobe's own is 25 degrees behind it.
        const double own_deg = 90.0 - static_cast<double>(sweep.count[i]) * 0.05 - 25.0;
        const Section section = shape.section(Turned(rad_from_deg(own_deg)));
        CHECK(sweep.front_mm[i] == Approx(section.at(-4.0).h - 14.0).margin(1e-10));
    }
}

TEST_CASE("counts are rounded to the nearest") {
    RigModel rig = quiet_rig();
    rig.info.counts_per_rev = 360;
    const Sweep coarse = sweep_of(rig, steady_hand());
    rig.info.counts_per_rev = 3600000;
    const Sweep fine = sweep_of(rig, steady_hand());
    std::vector<double> rest;
    for (std::size_t i = 0; i < coarse.rows(); ++i) {
        rest.push_back(static_cast<double>(coarse.count[i]) - static_cast<double>(fine.count[i]) / 10000.0);
    }
    const auto [low, high] = std::minmax_element(rest.begin(), rest.end());
    CHECK(*low >= -0.5001);
    CHECK(*high <= 0.5001);
    CHECK(std::fabs(mean_of(rest)) < 0.02);
}

TEST_CASE("noise has the deviation that was asked for, and readings stand on steps") {
    RigModel rig = quiet_rig();
    HandModel hand = steady_hand();
    hand.turns_min = hand.turns_max = 5.0;
    const Sweep still = sweep_of(rig, hand);
    rig.noise_mm = 0.0007;
    const std::vector<double> noise = front_difference(sweep_of(rig, hand), still);
    const auto n = static_cast<double>(noise.size());
    CHECK(deviation_of(noise) == Approx(0.0007).epsilon(4.0 / std::sqrt(2.0 * n)));  // 4 sd of a deviation
    CHECK(std::fabs(mean_of(noise)) < 4.0 * 0.0007 / std::sqrt(n));

    rig.noise_mm = 0.0;
    rig.info.resolution_mm = 0.001;
    const Sweep stepped = sweep_of(rig, hand);
    for (const double reading : stepped.front_mm) CHECK(reading == std::round(reading * 1000.0) / 1000.0);
    std::vector<double> moving;  // while the reading crosses many steps, its rounding is uniform
    const std::vector<double> rounding = front_difference(stepped, still);
    for (std::size_t i = 0; i < rounding.size(); ++i) {
        CHECK(std::fabs(rounding[i]) <= 0.0005 + 1e-12);
        if (still.front_mm[i] > 0.1) moving.push_back(rounding[i]);
    }
    // A step q gives q / sqrt 12 (JCGM 100, F.2.2.1, from memory): 0.001 -> 2.886751346e-4.
    CHECK(deviation_of(moving) == Approx(2.886751346e-4).epsilon(0.04));
}

TEST_CASE("an inch rig's readings stand on steps of an inch") {
    RigModel rig = quiet_rig();
    rig.units = Units::in;
    rig.info.resolution_mm = 0.00005 * mm_per_inch;
    const Sweep sweep = sweep_of(rig, steady_hand());
    for (std::size_t i = 0; i < sweep.rows(); i += 13) {
        const double steps = sweep.front_mm[i] / mm_per_inch * 20000.0;
        CHECK(steps == Approx(std::round(steps)).margin(1e-9));
    }
}

TEST_CASE("an indicator's error is smooth, within its limit, and any size within it is as likely") {
    constexpr double limit_mm = 0.002;
    constexpr int n = 20000;
    Random random(3);
    double square = 0.0;
    double slope_square = 0.0;
    int small = 0;
    for (int i = 0; i < n; ++i) {
        const IndicatorError error(limit_mm, 10.0, random);
        const double reading = random.uniform(0.0, 10.0);
        const double here = error.at(reading);
        CHECK(std::fabs(here) <= limit_mm);
        square += here * here;
        small += std::fabs(here) < limit_mm / 4.0 ? 1 : 0;
        const double slope = (error.at(reading + 0.001) - here) / 0.001;
        slope_square += slope * slope;
    }
    // Uniform within +-m: variance m^2 / 3 (JCGM 100, 4.3.7, from memory), E e^4 = m^4 / 5, so sd of e^2 is
    // 0.2981 m^2; a quarter of the draws lie within m / 4.
    const double root_n = std::sqrt(static_cast<double>(n));
    CHECK(std::fabs(square / n - limit_mm * limit_mm / 3.0) < 4.0 * 0.2981 * limit_mm * limit_mm / root_n);
    CHECK(std::fabs(small - 0.25 * n) < 4.0 * std::sqrt(0.25 * 0.75) * root_n);
    // Slope m sqrt(2 / pi) exp(-g^2 / 2) g': the mean square is m^2 (2 / pi) / sqrt 3 E w^2, and over 2 to 6
    // half-waves in 10 mm E w^2 = (pi / 10)^2 52 / 3.
    const double w_square = std::pow(0.31415927, 2) * 52.0 / 3.0;
    CHECK(slope_square / n ==
          Approx(limit_mm * limit_mm * 0.63661977 / std::sqrt(3.0) * w_square).epsilon(0.06));
}

TEST_CASE("the datum is off by its u and by the indicators' errors on the parallel") {
    RigModel rig = quiet_rig();
    rig.zero_mm = {0.010, 0.025};
    rig.datum = DatumModel{DatumMethod::bar, 0.0, 0.0};
    const CamModel none;
    CHECK(simulate_run(none, rig, {}, {}, {}, 1).datum->rear_minus_front_mm == Approx(0.015).margin(1e-12));
    rig.datum->u_mm = 0.001;
    std::vector<double> off;
    for (std::uint64_t seed = 0; seed < 2000; ++seed) {
        off.push_back(simulate_run(none, rig, {}, {}, {}, seed).datum->rear_minus_front_mm - 0.015);
    }
    CHECK(deviation_of(off) == Approx(0.001).epsilon(4.0 / std::sqrt(4000.0)));
    CHECK(std::fabs(mean_of(off)) < 4.0 * 0.001 / std::sqrt(2000.0));
}

TEST_CASE("drift grows with time from the sweep's start") {
    RigModel rig = quiet_rig();
    const Sweep still = sweep_of(rig, steady_hand());
    rig.drift_mm_per_min = {0.006, -0.003};
    const Sweep drifting = sweep_of(rig, steady_hand());
    for (std::size_t i = 0; i < still.rows(); i += 101) {
        const double minutes = static_cast<double>(still.t_us[i]) / 60e6;
        CHECK(drifting.front_mm[i] - still.front_mm[i] == Approx(0.006 * minutes).margin(1e-9));
        CHECK(drifting.rear_mm[i] - still.rear_mm[i] == Approx(-0.003 * minutes).margin(1e-9));
    }
}

TEST_CASE("set-up adds the same once-per-turn part to front and rear, and its tilt") {
    RigModel rig = quiet_rig();
    rig.sampling = Sampling::by_count;
    const Sweep square = sweep_of(rig, steady_hand());
    rig.setup = {0.010, -0.004, 0.0001, 0.0};
    const Sweep uneven = sweep_of(rig, steady_hand());
    for (std::size_t i = 0; i < square.rows(); i += 333) {
        const double rad = rad_from_deg(static_cast<double>(square.count[i]) * 0.05);
        const double middle =
            (0.010 + 0.0001 * 40.0) * std::cos(rad) - 0.004 * std::sin(rad);  // lobe at z = 40
        CHECK(uneven.front_mm[i] - square.front_mm[i] ==
              Approx(middle - 0.0004 * std::cos(rad)).margin(1e-10));
        CHECK(uneven.rear_mm[i] - square.rear_mm[i] == Approx(middle + 0.0004 * std::cos(rad)).margin(1e-10));
    }
}

TEST_CASE("spikes are isolated, as many and as large as asked for") {
    RigModel rig = quiet_rig();
    HandModel hand = steady_hand();
    hand.turns_min = hand.turns_max = 10.0;
    Faults faults;
    faults.spike_probability = 0.01;
    faults.spike_mm = 0.05;
    const Sweep spiked = sweep_of(rig, hand, faults);
    const Sweep still = sweep_of(rig, hand);
    int spikes = 0;
    for (const double off : front_difference(spiked, still)) {
        if (off == 0.0) continue;
        ++spikes;
        CHECK(std::fabs(off) >= 0.025 - 1e-12);
        CHECK(std::fabs(off) <= 0.075 + 1e-12);
    }
    const double expected = 0.01 * static_cast<double>(still.rows());
    CHECK(std::fabs(spikes - expected) < 4.0 * std::sqrt(expected));
}

TEST_CASE("a slip shifts every later count, a gap takes its rows out") {
    const RigModel rig = quiet_rig();
    const Sweep whole = sweep_of(rig, steady_hand());
    Faults faults;
    faults.slips = {{"1E", 1, 200.0, -3}, {"other", 1, 10.0, 5}};
    const Sweep slipped = sweep_of(rig, steady_hand(), faults);
    REQUIRE(slipped.rows() == whole.rows());
    for (std::size_t i = 0; i < whole.rows(); ++i) {
        const double travel_deg = static_cast<double>(whole.count[i]) * 0.05;
        if (std::fabs(travel_deg - 200.0) < 0.1) continue;
        CHECK(slipped.count[i] - whole.count[i] == (travel_deg > 200.0 ? -3 : 0));
    }
    faults = {};
    faults.gaps = {{"1E", 1, 100.0, 112.0}};
    const Sweep holed = sweep_of(rig, steady_hand(), faults);
    CHECK(holed.rows() < whole.rows());
    for (const std::int64_t count : holed.count) {
        const double travel_deg = static_cast<double>(count) * 0.05;
        CHECK((travel_deg < 100.1 || travel_deg > 111.9));
    }
}

TEST_CASE("a hand covers its turns, pauses, and turns back by a few degrees") {
    HandModel hand;
    hand.pauses_per_turn = 2.0;
    hand.backward_per_turn = 2.0;
    hand.backlash_deg = 0.2;
    hand.turns_min = hand.turns_max = 6.0;
    Random random(11);
    const std::vector<HandPoint> path = hand_path(hand, 200.0, random);
    CHECK(path.back().encoder_deg - path.front().encoder_deg > 6.0 * 360.0 - 1.0);
    double furthest = path[0].encoder_deg;
    double deepest = 0.0;
    double standing_s = 0.0;
    int turns_back = 0;
    for (std::size_t i = 1; i < path.size(); ++i) {
        const double step = path[i].encoder_deg - path[i - 1].encoder_deg;
        if (std::fabs(step) < 0.001) standing_s += 0.005;
        if (path[i].encoder_deg > furthest) {
            turns_back += deepest > 0.5 ? 1 : 0;
            furthest = path[i].encoder_deg;
            deepest = 0.0;
            CHECK(path[i].cam_deg == path[i].encoder_deg);  // turning forward, the play is taken up
        }
        deepest = std::max(deepest, furthest - path[i].encoder_deg);
        CHECK(deepest < hand.backward_deg_max + 3.0);  // it takes a moment to stop
        CHECK(path[i].cam_deg - path[i].encoder_deg >= 0.0);
        CHECK(path[i].cam_deg - path[i].encoder_deg <= 0.2 + 1e-9);
    }
    CHECK(turns_back >= 6);  // 12 in 6 turns on average
    CHECK(standing_s > 5 * 0.3);
    CHECK_THROWS_AS(hand_path(
                        [] {
                            HandModel still;
                            still.mean_deg_per_s = 0.0;
                            return still;
                        }(),
                        200.0, random),
                    UsageError);
}

TEST_CASE("a hand-taken table has each angle once, shuffled, without times") {
    RigModel rig = quiet_rig();
    rig.info.counts_per_rev.reset();
    rig.sampling = Sampling::by_hand;
    const Sweep sweep = sweep_of(rig, {});
    CHECK(sweep.t_us.empty());
    CHECK(sweep.count.empty());
    CHECK(sweep.angle_deg.size() == 72);
    CHECK(std::set<double>(sweep.angle_deg.begin(), sweep.angle_deg.end()).size() == 72);
    CHECK(!std::is_sorted(sweep.angle_deg.begin(), sweep.angle_deg.end()));
    const LobeShape shape(one_lobe().lobes[0]);
    for (std::size_t i = 0; i < 72; ++i) {
        const double expected = shape.section(Turned(rad_from_deg(sweep.angle_deg[i]))).at(-4.0).h - 14.0;
        CHECK(sweep.front_mm[i] == Approx(expected).margin(1e-10));
    }
}

TEST_CASE("counts without counts_per_rev, and lobes that aren't there, are refused") {
    RigModel rig = quiet_rig();
    rig.info.counts_per_rev.reset();
    CHECK_THROWS_AS(sweep_of(rig, steady_hand()), UsageError);
    CHECK_THROWS_AS(Station(one_lobe(), rig, "9X"), DataError);
}
