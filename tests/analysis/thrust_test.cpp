// Where a cam's tapers push it: the share that doesn't cancel.
#include "analysis/thrust.hpp"

#include <cmath>
#include <vector>

#include <catch2/catch.hpp>

#include "analysis/compare.hpp"
#include "rig/model/example_cams.hpp"
#include "rig/model/simulate.hpp"

using namespace lobewright;

namespace {

/// What a cam with these tapers is found to push, on a bench without indicator errors.
ThrustFigures thrust_of(const std::vector<double>& tapers_mm, bool mastered = true) {
    CamModel cam = launch_engine_cam();
    cam.journals.clear();
    cam.lobes.resize(tapers_mm.size());
    for (std::size_t i = 0; i < tapers_mm.size(); ++i) cam.lobes[i].taper_mm = tapers_mm[i];
    RigModel rig;
    rig.info.counts_per_rev = 7200;
    rig.info.front_z_mm = -4.0;
    rig.info.rear_z_mm = 4.0;
    rig.info.error_limit_mm = 0.0;
    rig.noise_mm = 0.0003;
    if (mastered) rig.datum = DatumModel{DatumMethod::bar, 0.00005, 0.0};
    return inspect_run(simulate_run(cam, rig, {}, {}, {}, 7)).thrust;
}

}  // namespace

TEST_CASE("share of the tapers that doesn't cancel", "[thrust]") {
    // Slopes of +1.0, +1.2, -0.9 and +1.1 at equal load leave 0.571428571 of their sum of sizes: arithmetic.
    const auto mixed = thrust_of({0.020, 0.024, -0.018, 0.022});
    CHECK(mixed.share.value == Approx(0.571428571).margin(mixed.share.u95));
    CHECK(mixed.share.u95 < 0.02);
    CHECK(mixed.pushes == Push::rear);
    const auto other_way = thrust_of({-0.020, -0.024, 0.018, -0.022});
    CHECK(other_way.share.value == Approx(-0.571428571).margin(other_way.share.u95));
    CHECK(other_way.pushes == Push::front);
}

TEST_CASE("every lobe high to the rear pushes wholly to the rear", "[thrust]") {
    const auto found = thrust_of({0.020, 0.025, 0.015});
    CHECK(found.share.value == Approx(1.0).epsilon(1e-12));
    CHECK(found.pushes == Push::rear);
}

TEST_CASE("what lobes share adds as it is, what each has alone in squares", "[thrust]") {
    const auto u95_where_own_is = [](double own_mm) {
        std::vector<LobeFigures> lobes(2);
        for (std::size_t i = 0; i < lobes.size(); ++i) {
            auto& taper = lobes[i].taper;
            taper.opening_mm = taper.closing_mm = {i == 0 ? 0.020 : -0.020, 0.002};
            taper.ramps_own_u95_mm = own_mm;
        }
        return lobewright::thrust_of(lobes, true).share.u95;
    };
    // Of a share of 0 each taper moves 1/0.04 a mm: arithmetic.
    CHECK(u95_where_own_is(0.0) == Approx(2.0 * 0.002 / 0.04));
    CHECK(u95_where_own_is(0.002) == Approx(std::sqrt(2.0) * 0.002 / 0.04));
}

TEST_CASE("below a fifth the push is balanced, above it isn't", "[thrust]") {
    CHECK(thrust_of({0.020, -0.014}).pushes == Push::balanced);  // share 0.176
    CHECK(thrust_of({0.020, -0.012}).pushes == Push::rear);      // share 0.25
    CHECK(thrust_of({0.012, -0.020}).pushes == Push::front);
}

TEST_CASE("without taper there is no push, without a front-to-rear zero none is known", "[thrust]") {
    CHECK(thrust_of({0.0, 0.0}).pushes == Push::none);
    CHECK_FALSE(thrust_of({0.0, 0.0}).share.known());
    CHECK(thrust_of({0.020, 0.024}, false).pushes == Push::unknown);
    CHECK_FALSE(thrust_of({0.020, 0.024}, false).share.known());
}
