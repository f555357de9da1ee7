// What mustn't matter to the figures, and what they do when something known is changed: invariances of compare over
// whole runs.
#include <algorithm>
#include <cmath>
#include <filesystem>
#include <functional>
#include <numeric>
#include <string>
#include <utility>
#include <vector>

#include <catch2/catch.hpp>

#include "analysis/compare.hpp"
#include "analysis/run/run_folder.hpp"
#include "analysis/units.hpp"
#include "rig/model/truth.hpp"
#include "run_test_folder.hpp"
#include "swept_cams.hpp"
#include "tests/coverage/coverage_study.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

struct Pair {
    Run reference;
    Run used;
};

/// Two lobes, one worn flat at the nose, one wiped.
CamModel worn_cam() {
    CamModel cam = launch_lobes(2);
    cam.lobes[0].wear = {nose_wear(0.025, cam.lobes[0].taper_mm)};
    cam.lobes[1].wear = {wiped_wear(0.2)};
    return cam;
}

Pair pair_of(const RigModel& rig, const HandModel& hand = {}) {
    return {swept(launch_lobes(2), rig, 31, hand), swept(worn_cam(), rig, 32, hand)};
}

CamFigures compared(const Pair& runs) {
    return compare_runs(runs.reference, runs.used);
}

std::vector<std::string> keys() {
    std::vector<std::string> out;
    for (const auto& field : lobe_truth_fields()) out.emplace_back(field.key);
    return out;
}

bool is_angle(const std::string& key) {
    return key == "nose_deg" || key == "phase_shift_deg";
}

/// What the search for the smoothing resolves: the same readings, differently rounded, end at another last digit of it.
constexpr double rounding = 1e-3;

/// A heel's arc ends on grid points, half a degree apart, and its runout is that of the arc stated: where an end stands
/// elsewhere on the cam the circle alone changes it by up to this.
double runout_by_arc_end_mm(const LobeFigures& lobe) {
    return lobe.base_circle.eccentricity_mm.value * rad_from_deg(0.5);
}

bool other_arc(const BaseCircleFigures& a, const BaseCircleFigures& b) {
    return std::abs(wrapped_deg(a.from_deg - b.from_deg)) > 1e-9 ||
           std::abs(wrapped_deg(a.to_deg - b.to_deg)) > 1e-9;
}

/// Every figure of both agrees within `share` of its u95, angles modulo a turn; `skip` names those that are compared
/// elsewhere.
void check_same(const CamFigures& found, const CamFigures& expected, double share,
                const std::vector<std::string>& skip = {}) {
    REQUIRE(found.lobes.size() == expected.lobes.size());
    for (std::size_t i = 0; i < expected.lobes.size(); ++i) {
        for (const auto& key : keys()) {
            if (std::find(skip.begin(), skip.end(), key) != skip.end()) continue;
            const Measured a = figure_of(found.lobes[i], key), b = figure_of(expected.lobes[i], key);
            const double off = is_angle(key) ? wrapped_deg(a.value - b.value) : a.value - b.value;
            CAPTURE(expected.lobes[i].name, key, a.value, b.value, b.u95);
            CHECK(a.known() == b.known());
            if (!b.known()) continue;
            const bool counts = key.starts_with("base_circle.runout") && share > rounding &&
                                other_arc(found.lobes[i].base_circle, expected.lobes[i].base_circle);
            const double by_arc = counts ? runout_by_arc_end_mm(expected.lobes[i]) : 0.0;
            CHECK(std::abs(off) <= share * b.u95 + by_arc + 1e-9);
            CHECK(a.u95 == Approx(b.u95).epsilon(share > rounding ? 0.5 : rounding).margin(1e-9));
        }
    }
    if (std::find(skip.begin(), skip.end(), "stock_to_clean") == skip.end()) {
        CHECK(found.stock_to_clean_mm.value ==
              Approx(expected.stock_to_clean_mm.value).margin(share * expected.stock_to_clean_mm.u95));
    }
    CHECK(found.thrust.pushes == expected.thrust.pushes);
}

/// A run whose zero stands `deg` further: every angle of it grows by as much.
Run turned(Run run, double deg) {
    run.rig.zero_deg += deg;
    return run;
}

double angle_change(const Measured& found, const Measured& expected) {
    return wrapped_deg(found.value - expected.value);
}

}  // namespace

TEST_CASE("where a run's zero stands changes its angles and nothing else", "[properties]") {
    const Pair runs = pair_of(ordinary_bench());
    const auto before = compared(runs);
    // 100 degrees are whole in every grid and stretch that the analysis cuts a turn into: to rounding. 33.3 are not.
    for (const auto& [deg, share] : {std::pair(100.0, rounding), std::pair(33.3, 0.35)}) {
        CAPTURE(deg);
        const auto used = compared({runs.reference, turned(runs.used, deg)});
        check_same(used, before, share, {"nose_deg", "phase_shift_deg"});
        const auto reference = compared({turned(runs.reference, deg), runs.used});
        check_same(reference, before, share, {"phase_shift_deg"});
        for (std::size_t i = 0; i < before.lobes.size(); ++i) {
            const auto& was = before.lobes[i];
            const double nose = share * was.nose_deg.u95 + 1e-6,
                         phase = share * was.phase_shift_deg.u95 + 1e-6;
            CHECK(angle_change(used.lobes[i].nose_deg, was.nose_deg) == Approx(deg).margin(nose));
            CHECK(angle_change(used.lobes[i].phase_shift_deg, was.phase_shift_deg) ==
                  Approx(deg).margin(phase));
            CHECK(angle_change(reference.lobes[i].phase_shift_deg, was.phase_shift_deg) ==
                  Approx(-deg).margin(phase));
            CHECK(wrapped_deg(used.lobes[i].base_circle.from_deg - was.base_circle.from_deg - deg) ==
                  Approx(0.0).margin(share > rounding ? 1.01 : 1e-9));
            CHECK(wrapped_deg(used.lobes[i].base_circle.eccentricity_deg - was.base_circle.eccentricity_deg -
                              deg) == Approx(0.0).margin(share > rounding ? 2.0 : 1e-3));
        }
    }
}

TEST_CASE("a run written in inches and read back is the same run", "[properties]") {
    const Pair runs = pair_of(ordinary_bench());
    const lobewright_test::TempFolder place;
    Run inches = runs.used;
    inches.units = Units::in;
    write_run(inches, place.path() / "inches");
    const Run back = read_run(place.path() / "inches");
    REQUIRE(back.units == Units::in);
    const auto found = compared({runs.reference, back});
    CHECK(found.used_units == Units::in);
    check_same(found, compared(runs), rounding);
}

TEST_CASE("an encoder that counts the other way is the same encoder", "[properties]") {
    const Pair runs = pair_of(ordinary_bench());
    Run reversed = runs.used;
    reversed.rig.direction = -1;
    for (auto& sweep : reversed.sweeps) {
        for (auto& count : sweep.count) count = -count;
    }
    check_same(compared({runs.reference, reversed}), compared(runs), rounding);
}

TEST_CASE("rows shared out to two passes give the same figures", "[properties]") {
    HandModel hand;
    hand.turns_min = hand.turns_max = 2.2;
    const Pair runs = pair_of(ordinary_bench(), hand);
    const auto whole = compared(runs);
    const auto split_by = [&](const std::function<bool(std::size_t row, std::size_t rows)>& second) {
        Run run = runs.used;
        run.sweeps.clear();
        for (const Sweep& sweep : runs.used.sweeps) {
            Sweep parts[2] = {sweep, sweep};
            for (int p = 0; p < 2; ++p) {
                parts[p].pass = p + 1;
                parts[p].t_us.clear(), parts[p].count.clear(), parts[p].front_mm.clear(),
                    parts[p].rear_mm.clear();
            }
            for (std::size_t i = 0; i < sweep.rows(); ++i) {
                Sweep& part = parts[second(i, sweep.rows()) ? 1 : 0];
                part.t_us.push_back(sweep.t_us[i]);
                part.count.push_back(sweep.count[i]);
                part.front_mm.push_back(sweep.front_mm[i]);
                part.rear_mm.push_back(sweep.rear_mm[i]);
            }
            run.sweeps.push_back(parts[0]);
            run.sweeps.push_back(parts[1]);
        }
        return run;
    };
    SECTION("row by row") {
        const Run split = split_by([](std::size_t row, std::size_t) { return row % 2 == 1; });
        check_same(compared({runs.reference, split}), whole, 0.5);
    }
    SECTION("first half and second half") {
        const Run split = split_by([](std::size_t row, std::size_t rows) { return row > rows / 2; });
        check_same(compared({runs.reference, split}), whole, 0.5);
    }
}

TEST_CASE("where the indicators were zeroed doesn't matter", "[properties]") {
    const Pair runs = pair_of(ordinary_bench());
    const auto before = compared(runs);
    constexpr double front_mm = 0.5, rear_mm = -0.3;
    Run moved = runs.used;
    for (auto& sweep : moved.sweeps) {
        for (double& y : sweep.front_mm) y += front_mm;
        for (double& y : sweep.rear_mm) y += rear_mm;
    }
    SECTION("as long as the front-to-rear zero goes with them") {
        moved.datum->rear_minus_front_mm += rear_mm - front_mm;
        check_same(compared({runs.reference, moved}), before, rounding);
    }
    SECTION("with the old front-to-rear zero all taper is off by as much, scaled to the width") {
        const auto found = compared({runs.reference, moved});
        const double off = (rear_mm - front_mm) * 12.0 / 8.0;
        for (std::size_t i = 0; i < before.lobes.size(); ++i) {
            for (const std::string key : {"taper.base", "taper.opening", "taper.nose", "taper.closing"}) {
                CAPTURE(key);
                CHECK(figure_of(found.lobes[i], key).value ==
                      Approx(figure_of(before.lobes[i], key).value + off).margin(1e-6));
            }
        }
    }
}

TEST_CASE("a table's rows may stand in any order", "[properties]") {
    RigModel rig = ordinary_bench();
    rig.sampling = Sampling::by_hand;
    rig.info.counts_per_rev.reset();
    const Pair runs = pair_of(rig);
    Run sorted = runs.used;
    for (auto& sweep : sorted.sweeps) {
        REQUIRE_FALSE(std::is_sorted(sweep.angle_deg.begin(), sweep.angle_deg.end()));
        std::vector<std::size_t> order(sweep.rows());
        std::iota(order.begin(), order.end(), std::size_t{0});
        std::sort(order.begin(), order.end(),
                  [&](std::size_t a, std::size_t b) { return sweep.angle_deg[a] < sweep.angle_deg[b]; });
        const Sweep shuffled = sweep;
        for (std::size_t i = 0; i < order.size(); ++i) {
            sweep.angle_deg[i] = shuffled.angle_deg[order[i]];
            sweep.front_mm[i] = shuffled.front_mm[order[i]];
            sweep.rear_mm[i] = shuffled.rear_mm[order[i]];
        }
    }
    check_same(compared({runs.reference, sorted}), compared(runs), rounding);
}

TEST_CASE("the number of threads changes no bit", "[properties]") {
    const Pair runs = pair_of(ordinary_bench());
    AnalysisOptions one, many;
    one.threads = 1;
    many.threads = 7;
    const auto a = compare_runs(runs.reference, runs.used, one),
               b = compare_runs(runs.reference, runs.used, many);
    for (std::size_t i = 0; i < a.lobes.size(); ++i) {
        for (const auto& key : keys()) {
            CAPTURE(key);
            CHECK(figure_of(a.lobes[i], key).value == figure_of(b.lobes[i], key).value);
            CHECK(figure_of(a.lobes[i], key).u95 == figure_of(b.lobes[i], key).u95);
        }
        CHECK(a.lobes[i].curves.wear_front_mm == b.lobes[i].curves.wear_front_mm);
        CHECK(a.lobes[i].curves.taper_mm == b.lobes[i].curves.taper_mm);
    }
    CHECK(a.thrust.share.value == b.thrust.share.value);
}

TEST_CASE("a cam seen from its other end is mirrored", "[properties]") {
    const Pair runs = pair_of(ordinary_bench());
    const auto mirrored = [](Run run) {
        std::swap(run.rig.front_z_mm, run.rig.rear_z_mm);
        run.rig.front_z_mm = -run.rig.front_z_mm;
        run.rig.rear_z_mm = -run.rig.rear_z_mm;
        run.datum->rear_minus_front_mm = -run.datum->rear_minus_front_mm;
        for (auto& sweep : run.sweeps) std::swap(sweep.front_mm, sweep.rear_mm);
        return run;
    };
    const auto seen = compared(runs), other = compared({mirrored(runs.reference), mirrored(runs.used)});
    const std::vector<std::pair<std::string, std::string>> sides{
        {"base_circle.runout.front", "base_circle.runout.rear"},
        {"base_circle.form.front", "base_circle.form.rear"},
        {"wear.front_nose_depth", "wear.rear_nose_depth"}};
    std::vector<std::string> changed;
    for (std::size_t i = 0; i < seen.lobes.size(); ++i) {
        CAPTURE(seen.lobes[i].name);
        for (const auto& [front, rear] : sides) {
            CAPTURE(front);
            CHECK(figure_of(other.lobes[i], front).value ==
                  Approx(figure_of(seen.lobes[i], rear).value).margin(1e-7));
            CHECK(figure_of(other.lobes[i], rear).value ==
                  Approx(figure_of(seen.lobes[i], front).value).margin(1e-7));
            changed.insert(changed.end(), {front, rear});
        }
        for (const std::string key : {"taper.base", "taper.opening", "taper.nose", "taper.closing"}) {
            CAPTURE(key);
            CHECK(figure_of(other.lobes[i], key).value ==
                  Approx(-figure_of(seen.lobes[i], key).value).margin(1e-7));
            changed.push_back(key);
        }
        CHECK(seen.lobes[i].taper.high_side != other.lobes[i].taper.high_side);
        CHECK(seen.lobes[i].wear.edge != other.lobes[i].wear.edge);
    }
    CHECK(other.thrust.share.value == Approx(-seen.thrust.share.value).margin(1e-7));
    // The largest wear's bias is found by drawing noise for front and rear in turn: mirrored draws are other draws.
    changed.insert(changed.end(), {"wear.max_depth", "stock_to_clean"});
    check_same(other, seen, rounding, changed);
    for (std::size_t i = 0; i < seen.lobes.size(); ++i) {
        for (const std::string key : {"wear.max_depth", "stock_to_clean"}) {
            const auto a = figure_of(seen.lobes[i], key), b = figure_of(other.lobes[i], key);
            CHECK(std::abs(a.value - b.value) < 0.2 * a.u95);
        }
    }
}

TEST_CASE("a cam that didn't wear shows none", "[properties]") {
    // Two measurements of the new cam, each with its own noise, indicator errors, datum and set-up.
    RigModel other = ordinary_bench();
    other.setup = {-0.003, 0.008, 0.0, 0.0};
    other.index_phase_deg = -130.0;
    int count = 0, inside = 0;
    for (std::uint64_t seed = 1; seed <= 15; ++seed) {
        const auto found = compare_runs(swept(launch_lobes(2), ordinary_bench(), 2 * seed),
                                        swept(launch_lobes(2), other, 2 * seed + 1));
        for (const auto& lobe : found.lobes) {
            for (const std::string key :
                 {"lift.loss", "wear.max_depth", "wear.nose_depth", "wear.front_nose_depth",
                  "wear.rear_nose_depth", "wear.area", "wear.volume", "stock_to_clean"}) {
                const auto figure = figure_of(lobe, key);
                CAPTURE(seed, lobe.name, key, figure.value, figure.u95);
                CHECK(std::abs(figure.value) <= 2.0 * figure.u95);
                ++count;
                inside += std::abs(figure.value) <= figure.u95;
            }
            CHECK(lobe.phase_shift_deg.value == Approx(-151.0).margin(2.0 * lobe.phase_shift_deg.u95));
        }
    }
    CHECK(inside >= 0.9 * count);
}
