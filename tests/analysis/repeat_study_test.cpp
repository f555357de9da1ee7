// The whole study on simulated runs whose scatter from pass to pass, set-up to set-up and operator to operator is
// known.
#include "analysis/repeat/repeat_study.hpp"

#include <algorithm>
#include <cmath>

#include <catch2/catch.hpp>

#include "analysis/compare.hpp"
#include "analysis/errors.hpp"
#include "tests/analysis/repeat_runs.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

const RepeatedFigure& figure(const RepeatStudy& study, const std::string& key) {
    const auto at = std::find_if(study.figures.begin(), study.figures.end(),
                                 [&](const RepeatedFigure& f) { return f.key == key; });
    REQUIRE(at != study.figures.end());
    return *at;
}

/// Variance about the mean, n - 1.
double variance_about_mean(const std::vector<double>& values) {
    double mean = 0.0, squares = 0.0;
    for (const double v : values) mean += v / static_cast<double>(values.size());
    for (const double v : values) squares += (v - mean) * (v - mean);
    return squares / static_cast<double>(values.size() - 1);
}

bool holds(const Variance& variance, double deviation) {
    return variance.low <= deviation * deviation && deviation * deviation <= variance.high;
}

bool says(const RepeatStudy& study, const std::string& text) {
    return std::any_of(study.notes.begin(), study.notes.end(),
                       [&](const std::string& note) { return note.find(text) != std::string::npos; });
}

std::string refusal(const std::vector<Run>& runs) {
    try {
        study_repeat(runs);
    } catch (const DataError& error) {
        return error.what();
    }
    return "";
}

}  // namespace

TEST_CASE("injected set-up spread comes back as it was drawn", "[repeat]") {
    RepeatScene scene;
    scene.passes = {2, 2, 3, 2, 1, 2, 2, 2};
    scene.set_up_lift_mm = 0.004;
    scene.set_up_taper_mm = 0.003;
    const RepeatTruth truth = repeat_runs(scene);
    const RepeatStudy study = study_repeat(truth.runs);
    // Against the very draws, not their distribution: passes scatter by a few hundredths of that.
    const auto& lift = figure(study, "lift.used").variances;
    const double drawn =
        0.5 * (variance_about_mean(truth.set_up_lift_mm[0]) + variance_about_mean(truth.set_up_lift_mm[1]));
    CHECK(lift.set_up.deviation() == Approx(std::sqrt(drawn)).epsilon(0.03));
    CHECK(holds(lift.set_up, 0.004));
    CHECK(lift.pass.deviation() < 0.0002);
    CHECK(lift.set_up.degrees_of_freedom < 14.1);
    for (const char* key : {"taper.opening", "taper.closing"}) {
        const auto& ramp = figure(study, key).variances;
        CAPTURE(key);
        // The mean taper of a ramp is nearly all of the lobe's, and it hits both lobes alike: 7 degrees of freedom.
        CHECK(ramp.set_up.deviation() ==
              Approx(std::sqrt(variance_about_mean(truth.set_up_taper_mm))).epsilon(0.05));
        CHECK(ramp.runs.degrees_of_freedom == Approx(7.0).margin(0.3));
    }
    CHECK(study.lift.smallest.largest() == ChangeSource::set_up);
    CHECK(study.lift.smallest.plan.passes == 1);  // the run with the fewest
}

TEST_CASE("pass noise, set-up spread and operators come back within their limits", "[repeat]") {
    RepeatScene scene;
    scene.passes = {3, 3, 2, 3, 3, 2, 3, 3};
    scene.operators = {"A", "A", "B", "B", "C", "C", "D", "D"};
    scene.pass_lift_mm = 0.002;
    scene.set_up_lift_mm = 0.003;
    scene.operator_lift_mm = 0.02;
    scene.seed = 4;
    const RepeatStudy study = study_repeat(repeat_runs(scene).runs);
    const auto& lift = figure(study, "lift.used").variances;
    CHECK(study.operators == 4);
    CHECK(lift.pass.degrees_of_freedom == 28.0);
    CHECK(holds(lift.pass, 0.002));
    CHECK(holds(lift.set_up, 0.003));
    CHECK(holds(lift.by_operator, 0.02));
    CHECK(lift.pass.high < 4.0 * 0.002 * 0.002);  // the limits aren't so wide that anything would do
    CHECK(study.lift.smallest.largest() == ChangeSource::by_operator);
}

TEST_CASE("one run shows passes only: set-ups are unknown, and that is said", "[repeat]") {
    RepeatScene scene;
    scene.passes = {4};
    scene.pass_lift_mm = 0.003;
    scene.error_limit_mm = 0.001;
    const RepeatStudy study = study_repeat(repeat_runs(scene).runs);
    const auto& lift = figure(study, "lift.used").variances;
    CHECK(holds(lift.pass, 0.003));
    CHECK(lift.pass.degrees_of_freedom == 6.0);
    CHECK_FALSE(lift.set_up.known());
    CHECK(says(study, "one run can't tell"));
    CHECK(study.lift.smallest.plan.passes == 4);
    CHECK(figure(study, "nose_deg").variances.pass.known());
    CHECK_FALSE(figure(study, "nose_deg").between_runs);
}

TEST_CASE("U of lift loss holds the indicators' error that no repetition shows", "[repeat]") {
    RepeatScene scene;
    scene.passes = {2, 2, 2};
    scene.error_limit_mm = 0.002;
    const auto runs = repeat_runs(scene).runs;
    const RepeatStudy study = study_repeat(runs, {0.001, 0});
    // limit / sqrt 3 at each reading; lift is nose less heel, two readings far apart, and the mean of two
    // indicators; two states. The rest is far smaller.
    const double reading = 0.002 / std::sqrt(3.0);
    const double lift = reading * std::sqrt(2.0) / std::sqrt(2.0);
    const double indicator = 1.959964 * std::sqrt(2.0) * lift;
    CHECK(study.lift.smallest.u95_mm > 0.99 * indicator);
    CHECK(study.lift.smallest.u95_mm < 1.05 * indicator);
    CHECK(study.lift.smallest.largest() == ChangeSource::indicator);
    // What compare states of two such runs is the same to within what few repetitions know.
    const CamFigures compared = compare_runs(runs[0], runs[1]);
    CHECK(compared.lobes[0].lift.loss_mm.u95 == Approx(study.lift.smallest.u95_mm).epsilon(0.1));
    REQUIRE(study.lift.needed);
    CHECK_FALSE(study.lift.needed->plan);
    CHECK(study.lift.needed->reached.largest() == ChangeSource::indicator);
    const RepeatStudy easy = study_repeat(runs, {0.01, 0});
    REQUIRE(easy.lift.needed->plan);
    CHECK(easy.lift.needed->plan->passes == 1);
}

TEST_CASE("runs in another order give the same study", "[repeat]") {
    RepeatScene scene;
    scene.passes = {2, 1, 3, 2};
    scene.operators = {"A", "B", "A", "B"};
    scene.set_up_lift_mm = 0.002;
    auto runs = repeat_runs(scene).runs;
    const RepeatStudy study = study_repeat(runs);
    std::swap(runs[0], runs[3]);
    std::swap(runs[1], runs[2]);
    std::reverse(runs[0].lobes.begin(), runs[0].lobes.end());
    const RepeatStudy turned = study_repeat(runs);
    REQUIRE(turned.figures.size() == study.figures.size());
    for (std::size_t i = 0; i < study.figures.size(); ++i) {
        CAPTURE(study.figures[i].key);
        const auto& a = study.figures[i].variances;
        const auto& b = turned.figures[i].variances;
        CHECK(b.pass.value == Approx(a.pass.value).epsilon(1e-6));
        CHECK(b.set_up.known() == a.set_up.known());
        if (a.set_up.known()) CHECK(b.set_up.value == Approx(a.set_up.value).epsilon(1e-6));
    }
    CHECK(turned.lift.smallest.u95_mm == Approx(study.lift.smallest.u95_mm).epsilon(1e-6));
}

TEST_CASE("a pass that can't stand alone is left out and named, the others count", "[repeat]") {
    RepeatScene scene;
    scene.passes = {3, 2};
    auto runs = repeat_runs(scene).runs;
    for (Sweep& sweep : runs[0].sweeps) {
        if (sweep.of != runs[0].lobes[0].name || sweep.pass != 2) continue;
        const std::size_t half = sweep.rows() / 3;  // less than a turn
        sweep.count.resize(half);
        sweep.t_us.resize(half);
        sweep.front_mm.resize(half);
        sweep.rear_mm.resize(half);
    }
    const RepeatStudy study = study_repeat(runs);
    CHECK(study.runs[0].least_passes == 2);
    CHECK(study.runs[0].most_passes == 3);
    CHECK(says(study, "left out, as it can't be measured alone"));
    CHECK(figure(study, "lift.used").variances.pass.degrees_of_freedom == 1 + 2 + 1 + 1);
}

TEST_CASE("runs without a datum: taper is relative and its base isn't studied", "[repeat]") {
    RepeatScene scene;
    scene.datum = false;
    auto runs = repeat_runs(scene).runs;
    const RepeatStudy study = study_repeat(runs);
    CHECK(std::none_of(study.figures.begin(), study.figures.end(),
                       [](const RepeatedFigure& f) { return f.key == "taper.base"; }));
    CHECK(says(study, "no front-to-rear zero"));
    runs[1].datum = DatumInfo{};
    const RepeatStudy mixed = study_repeat(runs);
    CHECK_FALSE(mixed.ramp_taper);
    CHECK_FALSE(figure(mixed, "taper.opening").between_runs);
    CHECK(figure(mixed, "lift.used").between_runs);
    CHECK(says(mixed, "some runs have a [datum] and some haven't"));
}

TEST_CASE("a lobe that scatters more than the others is named", "[repeat]") {
    RepeatScene scene;
    scene.lobes = 4;
    scene.passes = {4, 4};
    scene.pass_lift_mm = 0.001;
    auto calm = repeat_runs(scene).runs;
    CHECK_FALSE(says(study_repeat(calm), "scatters"));
    scene.pass_lift_mm = 0.015;
    scene.seed = 9;
    const auto wild = repeat_runs(scene).runs;
    const std::string odd = calm[0].lobes[2].name;
    for (std::size_t r = 0; r < 2; ++r) {
        for (std::size_t s = 0; s < calm[r].sweeps.size(); ++s) {
            if (calm[r].sweeps[s].of == odd) calm[r].sweeps[s] = wild[r].sweeps[s];
        }
    }
    CHECK(says(study_repeat(calm), odd + ": lift scatters"));
}

TEST_CASE("runs that can't be of one cam in one state, or repeat nothing, are refused in one line",
          "[repeat]") {
    RepeatScene scene;
    scene.passes = {1, 1};
    const auto runs = repeat_runs(scene).runs;
    CHECK(refusal(runs).empty());
    CHECK(refusal({runs[0]}).find("made-0: every lobe was swept once") != std::string::npos);
    CHECK_FALSE(refusal({}).empty());

    auto other = runs;
    other[1].lobes[1].name = "9X";
    CHECK(refusal(other).find("lobe '9X' stands in made-1 only, not in made-0") != std::string::npos);
    other = runs;
    other[1].info.condition = Condition::used;
    CHECK(refusal(other).find("[run] condition differs: new in made-0, used in made-1") != std::string::npos);
    other = runs;
    other[0].info.hours = 10.0;
    other[1].info.hours = 12.5;
    CHECK(refusal(other).find("[run] hours differs: 10 in made-0, 12.5 in made-1") != std::string::npos);
    other = runs;
    other[1].cam.follower = Follower::roller;
    CHECK(refusal(other).find("[cam] follower differs") != std::string::npos);
    other = runs;
    std::erase_if(other[1].sweeps, [&](const Sweep& s) { return s.of == other[1].lobes[0].name; });
    CHECK(refusal(other).find("has no sweep") != std::string::npos);
    CHECK_THROWS_AS(study_repeat(runs, {-0.001, 0}), UsageError);
}
