// A card's figures against closed forms and published factors, through the whole chain: rows in, figures out.
#include <array>
#include <cmath>
#include <numbers>

#include <catch2/catch.hpp>

#include "../analysis/made_run.hpp"
#include "analysis/card/card.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

// Three-arc cam: base circle 15, nose 6 with its centre 15 from the axis, event 2 x 60 degrees; flanks of radius 63 about
// a centre 48 from the axis. Flat follower: 48 (1 - cos of the angle past the start) on the flank, 6 + 15 cos psi - 15 on
// the nose, psi from the nose; they meet at acos(13/19). (Derived from the tangency of the arcs; verified numerically
// against a brute-force outline.)
constexpr double nose_deg = 180.0;

double three_arc(double from_nose_deg) {
    const double psi = std::fabs(from_nose_deg) * degree, start = 60.0 * degree;
    if (psi >= start) return 0.0;
    if (psi > std::acos(13.0 / 19.0)) return 48.0 * (1.0 - std::cos(start - psi));
    return 15.0 * std::cos(psi) - 9.0;
}

/// The same under a roller of 10: its centre 73 from the flank's, 16 from the nose's. (Derived, verified numerically.)
double three_arc_roller(double from_nose_deg) {
    const double psi = std::fabs(from_nose_deg) * degree, start = 60.0 * degree;
    if (psi >= start) return 0.0;
    if (psi > 24.213488541 * degree) {
        const double off = 48.0 * std::sin(start - psi);
        return -48.0 * std::cos(start - psi) + std::sqrt(73.0 * 73.0 - off * off) - 25.0;
    }
    const double off = 15.0 * std::sin(psi);
    return 15.0 * std::cos(psi) + std::sqrt(16.0 * 16.0 - off * off) - 25.0;
}

double rise_4567(double from_nose_deg) {
    const double x = 1.0 - std::fabs(from_nose_deg) / 60.0;
    return x > 0.0 ? 6.0 * x * x * x * x * (35.0 + x * (-84.0 + x * (70.0 - 20.0 * x))) : 0.0;
}

Run run_of(double (*lift)(double), unsigned seed = 5) {
    return made_run([=](double rad, double) { return lift(from_nose_deg(rad, nose_deg)); },
                    {.step_deg = 0.05, .noise_mm = 1e-4, .seed = seed});
}

LobeCard card_of_one(const Run& run, std::vector<double> lifts_mm = {}) {
    CardOptions options;
    options.lifts_mm = std::move(lifts_mm);
    return card_of(run, options).lobes.at(0);
}

}  // namespace

TEST_CASE("a three-arc cam's durations are its closed form's", "[outside][card]") {
    // 2 (60 deg - acos(1 - lift/48)) at 0.1524, 0.508 and 1.27 mm, in cam degrees; all three lie on the flank.
    constexpr double duration_deg[] = {110.866137600, 103.313600684, 93.581203983};
    const LobeCard lobe = card_of_one(run_of(three_arc), {0.508});
    REQUIRE(lobe.durations.size() == 3);
    for (std::size_t i = 0; i < 3; ++i) {
        CAPTURE(lobe.durations[i].lift_mm);
        CHECK(lobe.durations[i].crank_deg.value == Approx(2.0 * duration_deg[i]).margin(0.004));
        CHECK(lobe.durations[i].crank_deg.u95 < 0.02);
        CHECK(wrapped_deg(lobe.durations[i].opens_deg.measured.value - nose_deg + 0.5 * duration_deg[i]) ==
              Approx(0.0).margin(0.002));
        CHECK(wrapped_deg(lobe.durations[i].closes_deg.measured.value - nose_deg - 0.5 * duration_deg[i]) ==
              Approx(0.0).margin(0.002));
    }
    CHECK(lobe.lift_mm.value == Approx(6.0).margin(1e-4));
    CHECK(wrapped_deg(lobe.nose_deg.measured.value - nose_deg) == Approx(0.0).margin(1e-3));
    CHECK(wrapped_deg(lobe.top_deg.value - nose_deg) == Approx(0.0).margin(0.01));
    CHECK(lobe.asymmetry_crank_deg.value == Approx(0.0).margin(0.004));
}

TEST_CASE("a three-arc cam's velocity, acceleration and nose radius are its closed form's",
          "[outside][card]") {
    // Steepest at the joint, 15 sin acos(13/19) = 120 sqrt3/19 = 10.939268258 mm/rad. The slope falls there by 46.7 mm/rad
    // a rad on one side and 10.3 on the other: the even mean over a degree that is highest loses w/2 ab/(a + b).
    const double steepest = 120.0 * std::sqrt(3.0) / 19.0;
    const double to_flank = 48.0 * std::cos(60.0 * degree - std::acos(13.0 / 19.0)),
                 to_nose = 15.0 * 13.0 / 19.0;
    const double loss = 0.5 * degree * to_flank * to_nose / (to_flank + to_nose);
    const LobeCard lobe = card_of_one(run_of(three_arc));
    CHECK(lobe.opening_velocity.value == Approx(steepest - loss).margin(0.01));
    CHECK(lobe.closing_velocity.value == Approx(steepest - loss).margin(0.01));
    // 48 at the flank's start, falling with the cosine; a hat of 2 degrees either side fits in from there.
    CHECK(lobe.greatest_acceleration.value == Approx(48.0 * std::cos(2.0 * degree)).margin(0.1));
    // On the nose -15 cos psi, and base + lift + acceleration = 6 all over.
    CHECK(lobe.least_acceleration.value == Approx(-15.0).margin(0.1));
    CHECK(lobe.least_radius_mm.value == Approx(6.0).margin(0.1));
    CHECK(lobe.least_radius_mm.value == Approx(6.0).margin(lobe.least_radius_mm.u95));
}

TEST_CASE("a flank that begins with its full acceleration has no ramp", "[outside][card]") {
    const LobeCard lobe = card_of_one(run_of(three_arc));
    CHECK_FALSE(lobe.opening_ramp.height_mm.known());
    CHECK_FALSE(lobe.closing_ramp.height_mm.known());
    CHECK_FALSE(lobe.opening_ramp.length_crank_deg.known());
    CHECK(lobe.notes.size() == 1);
    CHECK(lobe.notes.at(0).find("no opening or closing ramp") == 0);
}

TEST_CASE("a three-arc cam's card for a roller is the roller's", "[outside][card]") {
    Run run = run_of(three_arc);  // as a flat tip reads it
    run.cam.follower = Follower::roller;
    run.cam.follower_radius_mm = 10.0;
    CardOptions options;
    options.lifts_mm = {0.508};
    const Card card = card_of(run, options);
    const LobeCard& lobe = card.lobes.at(0);
    CHECK(lobe.lift_mm.value == Approx(6.0).margin(1e-4));
    for (const CardDuration& duration : lobe.durations) {
        double low = 0.0, high = 60.0;  // half the duration, by halving
        for (int i = 0; i < 60; ++i) {
            const double half = 0.5 * (low + high);
            (three_arc_roller(half) > duration.lift_mm ? low : high) = half;
        }
        CAPTURE(duration.lift_mm, low);
        CHECK(duration.crank_deg.value == Approx(4.0 * low).margin(0.008));
    }
    CHECK_FALSE(lobe.least_radius_mm.known());
    CHECK_FALSE(lobe.opening_clearance_mm.known());
}

TEST_CASE("a 4-5-6-7 lobe's card shows the program's factors", "[outside][card]") {
    // Velocity 2.1875 L/beta, acceleration 84 sqrt5/25 = 7.513188 L/beta^2, jerk 52.5 L/beta^3 in size (closed forms;
    // program after Rothbart (ed.), Cam Design Handbook, ch. 2-3, from memory), each less what the stated means take: second
    // derivatives there are -24, -50 and -48 times as large, by x, and the means take w^2/24, w^2/12 and w^2/8 of that. Area
    // L beta/2 a rise, because the rise is even about its middle.
    const double lift = 6.0, beta = 60.0 * degree;
    const auto left = [](double width_deg, double bend, double part) {
        return 1.0 - bend * std::pow(width_deg / 60.0, 2) / part;
    };
    const double velocity = 2.1875 * lift / beta * left(1.0, 24.0, 24.0);
    const double acceleration = 7.513188 * lift / (beta * beta) * left(2.0, 50.0, 12.0);
    struct Row {
        const char* name;
        Measured LobeCard::*figure;
        double truth;
        double most_u95;  // over the truth
        int held = 0;
    };
    std::array<Row, 5> rows{
        {{"opening velocity", &LobeCard::opening_velocity, velocity, 0.0005},
         {"closing velocity", &LobeCard::closing_velocity, velocity, 0.0005},
         {"greatest acceleration", &LobeCard::greatest_acceleration, acceleration, 0.003},
         {"least acceleration", &LobeCard::least_acceleration, -acceleration, 0.003},
         {"jerk", &LobeCard::greatest_jerk, 52.5 * lift / std::pow(beta, 3) * left(3.0, 48.0, 8.0), 0.01}}};
    constexpr unsigned runs =
        30;  // of other noise each: the intervals hold 19 times in 20, so 26 in 30 at least
    for (unsigned seed = 1; seed <= runs; ++seed) {
        const LobeCard lobe = card_of_one(run_of(rise_4567, seed));
        for (Row& row : rows) {
            const Measured& figure = lobe.*row.figure;
            CAPTURE(row.name, seed, figure.value, row.truth);
            CHECK(figure.u95 < row.most_u95 * std::fabs(row.truth));
            CHECK(figure.value == Approx(row.truth).margin(2.5 * figure.u95));
            row.held += std::fabs(figure.value - row.truth) <= figure.u95;
        }
    }
    for (const Row& row : rows) {
        CAPTURE(row.name, row.held);
        CHECK(row.held >= 26);
    }
    const LobeCard lobe = card_of_one(run_of(rise_4567));
    CHECK(lobe.area.value == Approx(2.0 * lift * 60.0).margin(0.02));
    CHECK(lobe.lift_mm.value == Approx(lift).margin(1e-4));
    CHECK_FALSE(lobe.opening_ramp.height_mm.known());  // its velocity rises with the cube of the angle
}

TEST_CASE("the contact runs over the tappet's edge when the lobe is steeper than half its diameter",
          "[outside][card]") {
    // Contact offset of a flat follower is its velocity per rad (textbook; derived). Common practice, no source: diameters
    // of 21.4 to 23.0 mm; one of 21.4 allows 10.7 mm/rad, one of 22.2 allows 11.1.
    Run run = run_of(three_arc);
    for (const double diameter_mm : {21.4, 22.2}) {
        run.tappet = TappetInfo{diameter_mm, {}};
        const LobeCard lobe = card_of_one(run);
        CAPTURE(diameter_mm);
        CHECK(lobe.opening_clearance_mm.value == Approx(0.5 * diameter_mm - 10.866).margin(0.012));
        const bool over = diameter_mm < 21.7;
        CHECK((lobe.opening_clearance_mm.value < 0.0) == over);
        bool said = false;
        for (const auto& note : lobe.notes)
            said = said || note.find("over the tappet's edge") != std::string::npos;
        CHECK(said == over);
    }
}
