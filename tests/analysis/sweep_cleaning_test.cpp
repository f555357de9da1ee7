// From a sweep's rows to samples: what is kept, what is left out, and that it is named. Encoder of 3600 counts: ten a
// degree.
#include <algorithm>
#include <cmath>
#include <string>
#include <utility>
#include <vector>

#include <catch2/catch.hpp>

#include "analysis/compare.hpp"
#include "analysis/errors.hpp"
#include "analysis/sweep/clean_sweep.hpp"
#include "analysis/units.hpp"
#include "rig/model/example_cams.hpp"
#include "rig/model/random.hpp"
#include "rig/model/simulate.hpp"

using namespace lobewright;

namespace {

constexpr double counts_per_deg = 10.0;

RigInfo bench() {
    RigInfo rig;
    rig.counts_per_rev = 3600;
    rig.front_z_mm = -4.0;
    rig.rear_z_mm = 4.0;
    rig.resolution_mm = 0.0005;
    return rig;
}

/// Smooth as a lobe is, and other at the front than at the rear.
double front_at(double count) {
    return 2.0 - 2.0 * std::cos(rad_from_deg(count / counts_per_deg));
}
double rear_at(double count) {
    return front_at(count) + 0.02;
}

void add_row(Sweep& sweep, std::int64_t count, double more_mm = 0.0) {
    sweep.count.push_back(count);
    sweep.front_mm.push_back(front_at(static_cast<double>(count)) + more_mm);
    sweep.rear_mm.push_back(rear_at(static_cast<double>(count)) + more_mm);
}

Sweep named() {
    Sweep sweep;
    sweep.file = "bench/sweeps/s000.csv";
    sweep.of = "1E";
    return sweep;
}

/// A row each other count, once round and a little on.
Sweep steady_sweep(std::int64_t from = 0, std::int64_t to = 3700) {
    Sweep sweep = named();
    for (std::int64_t count = from; count <= to; count += 2) add_row(sweep, count);
    return sweep;
}

std::size_t place_of(const CleanSweep& clean, double deg) {
    const auto& angle = clean.samples.angle_rad;
    const auto at = std::min_element(angle.begin(), angle.end(), [&](double a, double b) {
        return std::abs(a - rad_from_deg(deg)) < std::abs(b - rad_from_deg(deg));
    });
    return static_cast<std::size_t>(at - angle.begin());
}

bool holds(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

template <typename Work>
std::string data_error_of(const Work& work) {
    try {
        work();
    } catch (const DataError& error) {
        return error.what();
    }
    return "no DataError";
}

CamModel one_lobe_cam() {
    CamModel cam = launch_engine_cam();
    cam.journals.clear();
    cam.lobes.resize(1);
    return cam;
}

RigModel simulated_bench() {
    RigModel rig;
    rig.info = bench();
    rig.noise_mm = 0.0005;
    return rig;
}

}  // namespace

TEST_CASE("a clean sweep stays as it is", "[sweep]") {
    const Sweep sweep = steady_sweep();
    const auto clean = clean_sweep(sweep, bench());
    REQUIRE(clean.samples.size() == sweep.rows());
    CHECK(clean.samples.front_mm == sweep.front_mm);
    CHECK(clean.samples.rear_mm == sweep.rear_mm);
    CHECK(clean.samples.angle_rad[5] == Approx(rad_from_deg(1.0)).epsilon(1e-12));
    CHECK(clean.angle_step_rad == Approx(rad_from_deg(0.1)).epsilon(1e-12));
    CHECK(clean.covered_deg == Approx(370.0));
    CHECK(clean.backward_turns == 0);
    CHECK(clean.backward.size() == 0);
    CHECK(clean.spikes.empty());
    CHECK_FALSE(clean.table);
    CHECK_FALSE(clean.against);
}

TEST_CASE("of what was passed twice the last forward pass counts", "[sweep]") {
    // Forward to 100 degrees, back to 96, forward to the end. What was read while turning back, and before that beyond
    // 97 degrees, is 0.3 mm higher, so that it shows wherever it is kept.
    Sweep sweep = named();
    for (std::int64_t count = 0; count <= 1000; count += 2) add_row(sweep, count, count > 970 ? 0.3 : 0.0);
    for (std::int64_t count = 998; count >= 960; count -= 2) add_row(sweep, count, 0.3);
    for (std::int64_t count = 962; count <= 3700; count += 2) add_row(sweep, count);
    const auto clean = clean_sweep(sweep, bench());
    CHECK(clean.backward_turns == 1);
    CHECK(clean.deepest_backward_deg == Approx(4.0).margin(0.01));
    CHECK(clean.spikes.empty());
    const auto& s = clean.samples;
    CHECK(std::is_sorted(s.angle_rad.begin(), s.angle_rad.end()));
    // Behind the turn-round the backlash is taken up first: rows count again a degree on, at 97 degrees.
    CHECK(clean.backward.size() == 15 + 20 + 4);
    for (double deg = 95.0; deg < 102.0; deg += 0.2) {
        CAPTURE(deg);
        const auto at = place_of(clean, deg);
        CHECK(deg_from_rad(s.angle_rad[at]) == Approx(deg).margin(1e-9));
        CHECK(s.front_mm[at] == Approx(front_at(deg * counts_per_deg)).margin(1e-9));
        CHECK(s.rear_mm[at] == Approx(rear_at(deg * counts_per_deg)).margin(1e-9));
    }
}

TEST_CASE("every turning back is counted", "[sweep]") {
    Sweep sweep = named();
    std::int64_t count = 0;
    const auto go = [&](std::int64_t to) {
        for (const std::int64_t step = to > count ? 2 : -2; count != to; count += step) add_row(sweep, count);
    };
    go(500);
    go(480);
    go(1500);
    go(1430);
    go(2600);
    go(2580);
    go(3700);
    const auto clean = clean_sweep(sweep, bench());
    CHECK(clean.backward_turns == 3);
    CHECK(clean.deepest_backward_deg == Approx(7.0).margin(0.01));
    CHECK(std::is_sorted(clean.samples.angle_rad.begin(), clean.samples.angle_rad.end()));
}

TEST_CASE("spikes are left out, each with its place, side and size", "[sweep]") {
    Sweep sweep = named();
    for (std::int64_t count = 0; count <= 3700; ++count) add_row(sweep, count);
    Random random(7);
    for (std::size_t i = 0; i < sweep.rows(); ++i) {
        sweep.front_mm[i] += 0.0005 * random.normal();
        sweep.rear_mm[i] += 0.0005 * random.normal();
    }
    struct Put {
        std::size_t row;
        bool front;
        double size_mm;
    };
    // on the heel's side, on a flank and near the top
    const std::vector<Put> put{
        {40, true, 0.05}, {900, false, -0.05}, {1802, true, -0.02}, {2800, false, 0.03}};
    for (const auto& p : put) (p.front ? sweep.front_mm : sweep.rear_mm)[p.row] += p.size_mm;
    const auto clean = clean_sweep(sweep, bench());
    REQUIRE(clean.spikes.size() == put.size());
    CHECK(clean.samples.size() == sweep.rows() - put.size());
    for (const auto& p : put) {
        CAPTURE(p.row);
        const double deg = 0.1 * static_cast<double>(p.row);
        const auto found = std::find_if(clean.spikes.begin(), clean.spikes.end(), [&](const Spike& s) {
            return std::abs(wrapped_deg(s.angle_deg - deg)) < 1e-9;
        });
        REQUIRE(found != clean.spikes.end());
        CHECK(found->front == p.front);
        // against the median of five, which on the flank is half a row of 3.5 um off, and noise of 0.5 um
        CHECK(found->size_mm == Approx(p.size_mm).margin(0.0035 + 0.002));
    }
}

TEST_CASE("a spike on a flank doesn't take its true neighbours along", "[sweep]") {
    // 7 um a row, which is more than eight standard deviations of the noise: the spike stands in its neighbours' medians.
    Sweep sweep = steady_sweep();
    Random random(1);
    for (std::size_t i = 0; i < sweep.rows(); ++i) {
        sweep.front_mm[i] += 0.0005 * random.normal();
        sweep.rear_mm[i] += 0.0005 * random.normal();
    }
    for (const std::size_t row : {430u, 450u, 1350u, 1400u})
        sweep.rear_mm[row] += row % 100 == 50 ? 0.05 : -0.05;
    const auto clean = clean_sweep(sweep, bench());
    CHECK(clean.samples.size() == sweep.rows() - 4);
    CHECK(clean.spikes.size() == 4);
    for (const auto& spike : clean.spikes) CHECK_FALSE(spike.front);
}

TEST_CASE("nothing is left out of clean readings", "[sweep]") {
    // 100 sweeps by hand of a lobe with 0.5 um of white noise: no reading is a spike, however the noise falls.
    const CamModel cam = one_lobe_cam();
    const RigModel rig = simulated_bench();
    std::size_t spikes = 0, rows = 0;
    for (std::uint64_t seed = 1; seed <= 100; ++seed) {
        const Run run = simulate_run(cam, rig, {}, {}, {}, seed);
        spikes += clean_sweep(run.sweeps.at(0), run.rig).spikes.size();
        rows += run.sweeps.at(0).rows();
    }
    CHECK(rows > 200'000);
    CHECK(spikes == 0);
}

TEST_CASE("simulated spikes are found among pauses and turnings back", "[sweep]") {
    Faults faults;
    faults.spike_probability = 0.002;
    faults.spike_mm = 0.05;
    const Run run = simulate_run(one_lobe_cam(), simulated_bench(), {}, faults, {}, 3);
    const Run without = simulate_run(one_lobe_cam(), simulated_bench(), {}, {}, {}, 3);
    // Readings more than 0.02 mm off what another sweep of the same seed read are none here: spikes draw random numbers
    // of their own. What was put in is known by number only: two indicators at a chance of 0.002 each.
    const auto expected = 0.004 * static_cast<double>(run.sweeps.at(0).rows());
    const auto found = static_cast<double>(clean_sweep(run.sweeps.at(0), run.rig).spikes.size());
    CHECK(found > expected - 3.0 * std::sqrt(expected));
    CHECK(found < expected + 3.0 * std::sqrt(expected));
    CHECK(clean_sweep(without.sweeps.at(0), without.rig).spikes.empty());
}

TEST_CASE("readings of a cam at rest are one place", "[sweep]") {
    Sweep sweep = named();
    for (std::int64_t count = 0; count <= 1000; count += 2) add_row(sweep, count);
    for (int i = 0; i < 9; ++i) add_row(sweep, 1000, 0.001 * (i % 2 == 0 ? 1.0 : -1.0));
    for (std::int64_t count = 1002; count <= 3700; count += 2) add_row(sweep, count);
    const auto clean = clean_sweep(sweep, bench());
    const auto at = place_of(clean, 100.0);
    CHECK(clean.samples.size() == sweep.rows() - 9);
    CHECK(clean.samples.readings[at] == 10.0);
    CHECK(clean.samples.readings[at - 1] == 1.0);
    CHECK(clean.samples.readings[at + 1] == 1.0);
    CHECK(clean.samples.front_mm[at] == Approx(front_at(1000.0) + 0.0001).margin(1e-12));
    CHECK(clean.samples.rear_mm[at] == Approx(rear_at(1000.0) + 0.0001).margin(1e-12));
}

TEST_CASE("the largest gap of a turn is located", "[sweep]") {
    Sweep sweep = named();
    for (std::int64_t count = 0; count <= 3700; count += 2) {
        if (count <= 1700 || count >= 1820) add_row(sweep, count);
    }
    const auto clean = clean_sweep(sweep, bench());
    CHECK(clean.largest_gap_deg == Approx(12.0).margin(0.2));
    CHECK(clean.gap_from_deg == Approx(170.0).margin(0.2));
    // and where none is, the rows' own spacing
    CHECK(clean_sweep(steady_sweep(), bench()).largest_gap_deg <= 0.3);
}

TEST_CASE("counts are angles in the running direction", "[sweep]") {
    RigInfo rig = bench();
    rig.zero_deg = 30.0;
    Sweep up = steady_sweep();
    CHECK(clean_sweep(up, rig).samples.angle_rad.front() == Approx(rad_from_deg(30.0)));
    CHECK_FALSE(clean_sweep(up, rig).against);
    // The same counts on an encoder that falls in the running direction are a sweep against it.
    rig.direction = -1;
    const auto against = clean_sweep(up, rig);
    CHECK(against.against);
    CHECK(against.samples.angle_rad.back() == Approx(rad_from_deg(30.0 - 370.0)));
    // Falling counts on that encoder run on.
    Sweep down = up;
    for (auto& count : down.count) count = -count;
    const auto with = clean_sweep(down, rig);
    CHECK_FALSE(with.against);
    CHECK(with.samples.angle_rad.back() == Approx(rad_from_deg(30.0 + 370.0)));
    CHECK(with.samples.front_mm == up.front_mm);
}

TEST_CASE("a sweep against the running direction turns back the other way", "[sweep]") {
    Sweep sweep = named();
    for (std::int64_t count = 3700; count >= 2000; count -= 2) add_row(sweep, count);
    for (std::int64_t count = 2002; count <= 2040; count += 2) add_row(sweep, count);
    for (std::int64_t count = 2038; count >= 0; count -= 2) add_row(sweep, count);
    const auto clean = clean_sweep(sweep, bench());
    CHECK(clean.against);
    CHECK(clean.backward_turns == 1);
    CHECK(clean.deepest_backward_deg == Approx(4.0).margin(0.01));
    CHECK(std::is_sorted(clean.samples.angle_rad.rbegin(), clean.samples.angle_rad.rend()));
}

TEST_CASE("a table in any order is known for one and sorted", "[sweep]") {
    Sweep sweep = named();
    for (const int i : {3, 0, 11, 7, 1, 16, 5, 2, 9, 17, 4, 14, 6, 13, 8, 10, 12, 15}) {
        sweep.angle_deg.push_back(20.0 * i);
        sweep.front_mm.push_back(front_at(200.0 * i));
        sweep.rear_mm.push_back(rear_at(200.0 * i));
    }
    const auto clean = clean_sweep(sweep, bench());
    CHECK(clean.table);
    CHECK(clean.backward_turns == 0);
    REQUIRE(clean.samples.size() == 18);
    for (std::size_t i = 0; i < 18; ++i) {
        CHECK(deg_from_rad(clean.samples.angle_rad[i]) == Approx(20.0 * static_cast<double>(i)).margin(1e-9));
        CHECK(clean.samples.front_mm[i] == front_at(200.0 * static_cast<double>(i)));
    }
}

TEST_CASE("one indicator is enough: the other column is filled from it", "[sweep]") {
    Sweep sweep = steady_sweep();
    sweep.rear_mm.clear();
    const auto clean = clean_sweep(sweep, bench());
    CHECK(clean.samples.front_mm == sweep.front_mm);
    CHECK(clean.samples.rear_mm == sweep.front_mm);
}

TEST_CASE("too few rows are refused with file, number and what is missing", "[sweep]") {
    Sweep sweep = named();
    for (std::int64_t count = 0; count < 11; ++count) add_row(sweep, 300 * count);
    const auto text = data_error_of([&] { (void)clean_sweep(sweep, bench()); });
    CAPTURE(text);
    CHECK(holds(text, "bench/sweeps/s000.csv"));
    CHECK(holds(text, "11 rows"));
    CHECK(holds(text, "'1E'"));
    CHECK_FALSE(holds(text, "\n"));
}

TEST_CASE("a turn that isn't covered is refused with lobe and place", "[sweep]") {
    // The gap on the heel, over the nose and over the turn's seam; 19 degrees are let pass.
    for (const double from_deg : {40.0, 170.0, 350.0}) {
        for (const double gap_deg : {19.0, 25.0, 150.0}) {
            Run run = simulate_run(one_lobe_cam(), simulated_bench(), {}, {}, {}, 3);
            Sweep& sweep = run.sweeps.at(0);
            const Sweep whole = std::exchange(sweep, named());
            for (std::size_t i = 0; i < whole.rows(); ++i) {
                const double deg = static_cast<double>(whole.count[i]) / counts_per_deg - from_deg;
                if (deg - 360.0 * std::floor(deg / 360.0) < gap_deg) continue;
                sweep.count.push_back(whole.count[i]);
                sweep.front_mm.push_back(whole.front_mm[i]);
                sweep.rear_mm.push_back(whole.rear_mm[i]);
            }
            CAPTURE(from_deg, gap_deg);
            if (gap_deg < 20.0) {
                CHECK_NOTHROW(inspect_run(run));
                continue;
            }
            const auto text = data_error_of([&] { (void)inspect_run(run); });
            CAPTURE(text);
            CHECK(holds(text, "lobe '1E'"));
            CHECK(holds(text, "sweep"));
            CHECK_FALSE(holds(text, "\n"));
        }
    }
}
