// Two runs of one cam, however worn, are compared; runs of two cams are refused. Truth is what the cam model was told.
#include "analysis/wear/same_cam.hpp"

#include <algorithm>
#include <cmath>
#include <string>

#include <catch2/catch.hpp>

#include "analysis/compare.hpp"
#include "analysis/errors.hpp"
#include "analysis/judge/judgement.hpp"
#include "swept_cams.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

CamFigures compared(const CamModel& reference, const CamModel& used) {
    RigModel later = ordinary_bench();
    later.index_phase_deg = -133.0;
    return compare_runs(swept(reference, ordinary_bench(), 1), swept(used, later, 2));
}

std::string refusal(const CamModel& reference, const CamModel& used) {
    try {
        (void)compared(reference, used);
    } catch (const DataError& error) {
        return error.what();
    }
    return "not refused";
}

CamModel engine() {
    return launch_lobes(8);
}

/// The engine's cam with every lobe changed alike.
template <typename Change>
CamModel other_cam(const Change& change) {
    CamModel cam = engine();
    for (LobeModel& lobe : cam.lobes) change(lobe);
    return cam;
}

}  // namespace

TEST_CASE("wiped lobes are judged, down to nearly round", "[same cam]") {
    CamModel worn = engine();
    const double lost_mm[] = {0.7, 1.4, 3.0, 5.0};
    for (std::size_t i = 0; i < 4; ++i) worn.lobes[i].wear = {wiped_wear(lost_mm[i])};
    worn.lobes[1].wear.push_back(taper_lost_wear(0.01, worn.lobes[1].taper_mm, 14.0));
    const CamFigures cam = compared(engine(), worn);
    const CamJudgement judged = judge(cam, Limits{}, Units::mm);
    for (std::size_t i = 0; i < 8; ++i) {
        CAPTURE(cam.lobes[i].name);
        // The lobe that lost its taper lost half of it at mid-width, and 0.01 mm all over.
        const double besides = i == 1 ? 0.01 + 0.5 * std::abs(worn.lobes[1].taper_mm) : 0.0;
        const double lost = i < 4 ? lost_mm[i] + besides : 0.0;
        CHECK(cam.lobes[i].lift.loss_mm.value == Approx(lost).margin(0.006));
        CHECK((judged.lobes[i].verdict >= Verdict::regrind) == (i < 4));
        const auto& notes = cam.lobes[i].notes;
        CHECK(std::any_of(notes.begin(), notes.end(), [](const std::string& note) {
                  return note.find("all round as a wiped lobe does") != std::string::npos;
              }) == (i < 4));
    }
}

TEST_CASE("a cam whose every lobe is wiped, each as far as it is, is judged", "[same cam]") {
    CamModel worn = engine();
    for (std::size_t i = 0; i < 8; ++i)
        worn.lobes[i].wear = {wiped_wear(0.6 + 0.15 * static_cast<double>(i))};
    CHECK(refusal(engine(), worn) == "not refused");
}

TEST_CASE("a cam of more lift is refused", "[same cam]") {
    for (const double more_mm : {0.15, 0.5}) {
        const auto says = refusal(engine(), other_cam([&](LobeModel& lobe) { lobe.lift_mm += more_mm; }));
        CAPTURE(more_mm, says);
        CHECK(says.find("proud of the reference, and wear only takes metal away") != std::string::npos);
        CHECK(says.find("check that both runs are of the same cam") != std::string::npos);
    }
}

TEST_CASE("a cam of less lift is refused: no wear is so even", "[same cam]") {
    for (const double less_mm : {0.7, 2.0}) {
        const auto says = refusal(engine(), other_cam([&](LobeModel& lobe) { lobe.lift_mm -= less_mm; }));
        CAPTURE(less_mm, says);
        CHECK(says.find("wear doesn't do so evenly") != std::string::npos);
    }
}

TEST_CASE("a cam of shorter or longer events is refused, of whatever lift", "[same cam]") {
    for (const double deg : {-8.0, 8.0, 12.0}) {
        for (const double mm : {0.0, -0.7}) {
            const auto says = refusal(engine(), other_cam([&](LobeModel& lobe) {
                                          lobe.opening_deg += deg;
                                          lobe.closing_deg += deg;
                                          lobe.lift_mm += mm;
                                      }));
            CAPTURE(deg, mm, says);
            CHECK(says.find("check that both runs are of the same cam") != std::string::npos);
        }
    }
}

TEST_CASE("lobes in another order are refused, worn or not", "[same cam]") {
    CamModel swapped = engine();
    std::swap(swapped.lobes[0].nose_deg, swapped.lobes[2].nose_deg);  // both exhaust, of one profile
    const auto says = refusal(engine(), swapped);
    CAPTURE(says);
    CHECK(says.find("deg from where the other lobes put it") != std::string::npos);
    CHECK(says.find("its lobes in the same order") != std::string::npos);
    swapped.lobes[4].wear = {wiped_wear(1.0)};
    CHECK(refusal(engine(), swapped) != "not refused");
}

TEST_CASE("another engine's cam with lobes of the same names is refused", "[same cam]") {
    CamModel other = pump_engine_cam();
    other.journals.clear();
    other.lobes.resize(8);
    CamModel cam = engine();
    for (std::size_t i = 0; i < 8; ++i) cam.lobes[i].lobe.name = other.lobes[i].lobe.name;
    CHECK(refusal(cam, other).find("check that both runs are of the same cam") != std::string::npos);
    CHECK(refusal(other, cam).find("check that both runs are of the same cam") != std::string::npos);
}
