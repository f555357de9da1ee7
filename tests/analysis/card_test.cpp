// Lobes' and kinds' part of a card on simulated cams whose ramps are known, and what must not change it.
#include <cmath>

#include <catch2/catch.hpp>

#include "analysis/errors.hpp"
#include "tests/analysis/card_cams.hpp"

using namespace lobewright;
using namespace lobewright::tests;

TEST_CASE("constant-velocity ramps are found at the height and velocity they were ground to", "[card]") {
    // Height and length; the model's ramp slows down again on the flank's foot, which a taller one shows before the flank's
    // own acceleration sets in.
    using Ground = std::pair<double, double>;
    for (const auto& [height_mm, ramp_deg] : {Ground{0.03, 14.0}, Ground{0.03, 20.0}, Ground{0.15, 20.0}}) {
        CamModel cam = launch_cam(1);
        for (LobeModel& lobe : cam.lobes) {
            lobe.ramp_height_mm = height_mm;
            lobe.ramp_deg = ramp_deg;
            lobe.opening_deg = lobe.closing_deg = 95.0;
        }
        const Card card = card_at(run_of(cam));
        CAPTURE(height_mm, ramp_deg);
        // The model's ramp picks up evenly over its first half: three quarters of its length at its velocity.
        const double velocity = height_mm / (0.75 * ramp_deg);
        for (const LobeCard& lobe : card.lobes) {
            for (const RampFigures& ramp : {lobe.opening_ramp, lobe.closing_ramp}) {
                REQUIRE(ramp.height_mm.known());
                CHECK(ramp.velocity_mm_per_deg.value == Approx(velocity).epsilon(0.03));
                // Up to where the flank's velocity tells: within two and a half degrees of the handover.
                CHECK(ramp.height_mm.value > height_mm);
                CHECK(ramp.height_mm.value < height_mm + 2.5 * velocity);
                CHECK(ramp.length_crank_deg.value > 2.0 * 0.75 * ramp_deg - 0.5);
                CHECK(ramp.length_crank_deg.value < 2.0 * (0.75 * ramp_deg + 2.5));
            }
        }
    }
}

TEST_CASE("no ramp is told where none was ground, nor from a table", "[card]") {
    CamModel cam = launch_cam(1);
    for (LobeModel& lobe : cam.lobes) {
        lobe.ramp_deg = 0.0;
        lobe.opening_deg = lobe.closing_deg = 95.0;
    }
    for (const auto program : {MotionProgram::cycloidal, MotionProgram::polynomial_345,
                               MotionProgram::polynomial_4567, MotionProgram::nose_polynomial}) {
        for (LobeModel& lobe : cam.lobes) lobe.program = program;
        for (const LobeCard& lobe : card_at(run_of(cam)).lobes) {
            CHECK_FALSE(lobe.opening_ramp.height_mm.known());
            CHECK_FALSE(lobe.closing_ramp.velocity_mm_per_deg.known());
            CHECK(said(lobe.notes, "no opening or closing ramp"));
        }
    }
    RigModel by_hand = good_rig();
    by_hand.sampling = Sampling::by_hand;
    by_hand.angle_column = true;
    by_hand.info.counts_per_rev.reset();
    const Card table = card_at(run_of(launch_cam(1), by_hand));
    CHECK_FALSE(table.lobes[0].opening_ramp.height_mm.known());
    CHECK(said(table.lobes[0].notes, "can't be told from a table"));
}

TEST_CASE("a wiped lobe stands out from its kind, and no lobe of an even cam does", "[card]") {
    const auto out_of = [](const Card& card) {
        std::vector<std::string> lobes;
        for (const KindCard& kind : card.kinds) {
            for (const StandOut& stands : kind.stand_outs) {
                if (stands.quantity == CardQuantity::lift) lobes.push_back(stands.lobe);
            }
        }
        return lobes;
    };
    RigModel rig = good_rig();
    rig.info.error_limit_mm = 0.001;
    CamModel cam = launch_cam();
    const Card even = card_at(run_of(cam, rig));
    CHECK(out_of(even).empty());
    REQUIRE(even.kinds.size() == 2);
    CHECK(even.kinds[0].kind == LobeKind::intake);
    CHECK(even.kinds[0].figures[0].mean.value == Approx(5.8).margin(even.kinds[0].figures[0].mean.u95));
    CHECK(even.kinds[0].figures[0].range < 0.001);
    named(cam, "3E").lift_mm -= 0.4;
    const Card wiped = card_at(run_of(cam, rig));
    REQUIRE(out_of(wiped) == std::vector<std::string>{"3E"});
    CHECK(wiped.kinds[1].stand_outs[0].difference.value == Approx(-0.4).margin(0.003));
    CHECK(wiped.kinds[1].figures[0].standard_deviation == Approx(0.2).margin(0.002));  // 0.4 sqrt(3/4 x 1/3)
    CHECK(wiped.kinds[1].figures[0].range == Approx(0.4).margin(0.003));
}

TEST_CASE("a lift asked for stands among the durations once, and above the lobe none is stated", "[card]") {
    const Run run = run_of(launch_cam(1));
    CardOptions options;
    options.lifts_mm = {5.7, 0.5, 1.27, 0.5};
    const Card card = card_of(run, options);
    CHECK(card.lifts_mm == std::vector<double>{advertised_lift_mm, 0.5, checking_lift_mm, 5.7});
    CHECK(card.lobes[0].durations[0].crank_deg.value > card.lobes[0].durations[1].crank_deg.value);
    CHECK_FALSE(card.lobes[0].durations[3].crank_deg.known());  // its lift is 5.6
    CHECK(card.lobes[1].durations[3].crank_deg.known());        // its is 5.8
    CHECK(said(card.lobes[0].notes, "no duration at a lift that is above its largest"));
    CHECK_FALSE(card.cylinders[0].overlaps[3].crank_deg.known());
    for (const double bad : {0.0, -1.0, std::nan("")}) {
        options.lifts_mm = {bad};
        CHECK_THROWS_AS(card_of(run, options), UsageError);
    }
    CHECK_THROWS_AS(card_at(run, std::nan("")), UsageError);
}

namespace {

/// All that must not change when angles are counted from elsewhere, to a share of its u95.
void require_same_but_for_angles(const Card& a, const Card& b, double share) {
    REQUIRE(a.lobes.size() == b.lobes.size());
    const auto same = [&](const Measured& x, const Measured& y) {
        REQUIRE(x.known() == y.known());
        if (x.known()) REQUIRE(std::abs(y.value - x.value) <= share * x.u95);
        // How far noise hangs together is judged along the sweep, turn by turn: cut elsewhere, another estimate.
        if (x.known()) REQUIRE(y.u95 == Approx(x.u95).epsilon(0.25));
    };
    for (std::size_t i = 0; i < a.lobes.size(); ++i) {
        const LobeCard &x = a.lobes[i], &y = b.lobes[i];
        same(x.lift_mm, y.lift_mm);
        for (std::size_t d = 0; d < x.durations.size(); ++d)
            same(x.durations[d].crank_deg, y.durations[d].crank_deg);
        same(x.asymmetry_crank_deg, y.asymmetry_crank_deg);
        same(x.opening_velocity, y.opening_velocity);
        same(x.greatest_acceleration, y.greatest_acceleration);
        same(x.area, y.area);
        same(x.opening_ramp.height_mm, y.opening_ramp.height_mm);
        same(x.centreline_crank_deg, y.centreline_crank_deg);
    }
    for (std::size_t i = 0; i < a.cylinders.size(); ++i) {
        same(a.cylinders[i].separation_deg, b.cylinders[i].separation_deg);
        same(a.cylinders[i].advance_crank_deg, b.cylinders[i].advance_crank_deg);
        same(a.cylinders[i].overlaps[0].crank_deg, b.cylinders[i].overlaps[0].crank_deg);
        same(a.cylinders[i].intake_index_crank_deg, b.cylinders[i].intake_index_crank_deg);
    }
}

}  // namespace

TEST_CASE("another index angle turns the card's angles and nothing else", "[card]") {
    // By whole grid steps, so that the spline's knots fall on the same places of the lobe.
    Run run = run_of(launch_cam(2));
    const Card before = card_at(run, tdc_deg);
    run.rig.zero_deg += 90.0;
    const Card after = card_at(run, tdc_deg + 90.0);
    // The spline's smoothing is chosen by what the noise is taken for, which is judged turn by turn as well.
    require_same_but_for_angles(before, after, 0.03);
    CHECK(wrapped_deg(after.lobes[0].nose_deg.measured.value - before.lobes[0].nose_deg.measured.value) ==
          Approx(90.0).margin(1e-5));
}

TEST_CASE("counts that fall in the running direction make the same card", "[card]") {
    Run run = run_of(launch_cam(2));
    const Card before = card_at(run, tdc_deg);
    run.rig.direction = -run.rig.direction;
    for (Sweep& sweep : run.sweeps) {
        for (auto& count : sweep.count) count = -count;
    }
    const Card after = card_at(run, tdc_deg);
    require_same_but_for_angles(before, after, 1e-6);
    CHECK(after.lobes[1].nose_deg.measured.value ==
          Approx(before.lobes[1].nose_deg.measured.value).margin(1e-9));
}
