// A regrind planned for simulated cams whose truth is known.
#include "analysis/regrind/regrind_cam.hpp"

#include <algorithm>
#include <cmath>
#include <fstream>

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include "analysis/errors.hpp"
#include "rig/model/truth.hpp"
#include "swept_cams.hpp"
#include "tests/cli/program.hpp"

using namespace lobewright;
using namespace lobewright::tests;

namespace {

constexpr double index_deg = 25.0;

const RegroundLobe& lobe_of(const RegrindPlan& plan, const std::string& name) {
    return *std::find_if(plan.lobes.begin(), plan.lobes.end(), [&](const auto& l) { return l.name == name; });
}

double lift_of(const LobeModel& lobe, double angle_deg) {
    return LobeShape(lobe).lift(rad_from_deg(wrapped_deg(angle_deg - lobe.nose_deg))).h;
}

/// The lobe's lift, scaled, as a profile file.
void write_profile(const TempFolder& folder, const std::string& name, const LobeModel& lobe, double lift_mm) {
    std::ofstream file(folder / (name + ".profile"));
    file << "format = \"lobewright-profile/1\"\nunits = \"mm\"\n[profile]\nname = \"" << name
         << "\"\nkind = \"exhaust\"\nfollower = \"flat\"\nangle_deg,lift\n";
    for (double deg = -90.0; deg <= 90.0; deg += 0.5) {
        file << fmt::format("{},{:.7f}\n", deg,
                            LobeShape(lobe).lift(rad_from_deg(deg)).h * lift_mm / lobe.lift_mm);
    }
}

}  // namespace

TEST_CASE("ground back to its reference, a cam needs the stock that truth says", "[regrind]") {
    const CamModel fresh = launch_lobes(4);
    CamModel worn = fresh;
    worn.lobes[0].wear = {wiped_wear(0.4)};
    worn.lobes[1].wear = {nose_wear(0.03, worn.lobes[1].taper_mm)};
    worn.lobes[2].wear = {taper_lost_wear(0.01, worn.lobes[2].taper_mm)};
    const CamTruth truth = true_figures(fresh, quiet_bench(index_deg), worn, quiet_bench(-40.0));
    RegrindOptions options;
    options.limits.least_base_diameter_mm = 27.0;
    const RegrindPlan plan = regrind_to_reference(swept(fresh, quiet_bench(index_deg), 1),
                                                  swept(worn, quiet_bench(-40.0), 2), options);

    CHECK(plan.verdict == Verdict::regrind);
    CHECK(plan.limited_by == worn.lobes[0].lobe.name);
    for (std::size_t i = 0; i < plan.lobes.size(); ++i) {
        INFO(plan.lobes[i].name);
        const Measured& stock = plan.lobes[i].ground.stock_mm;
        CHECK(stock.value == Approx(truth.lobes[i].stock_to_clean_mm.value)
                                 .margin(stock.u95 + truth.lobes[i].stock_to_clean_mm.slack + 0.0003));
        CHECK(stock.u95 < 0.002);
        CHECK(std::abs(plan.lobes[i].shift_deg) <= 0.5 + 1e-6);
        CHECK(plan.lobes[i].taper.taper_mm == Approx(fresh.lobes[i].taper_mm).margin(0.001));
        CHECK(plan.lobes[i].base_diameter_left_mm->value == Approx(28.0 - 2.0 * stock.value));
        CHECK(plan.lobes[i].depth_mm == plan.depth_mm);
    }
    CHECK(plan.depth_mm == Approx(0.4).margin(0.003));
    CHECK(plan.valve_train.at_valve_mm.value() == Approx(1.5 * plan.depth_mm));
    REQUIRE(plan.separations.size() == 2);
    CHECK(std::abs(plan.separations[0].deg) == Approx(108.0).margin(0.3));
    // common practice, no source: new tappets with every reground lobe
    CHECK(plan.tappets.size() == 4);
    for (const TappetPlace& place : plan.tappets) CHECK(place.fate == TappetFate::away);
}

TEST_CASE("what a regrind leaves rules it out, with the figure, where metal is short", "[regrind]") {
    const CamModel fresh = launch_lobes(4);
    CamModel worn = fresh;
    worn.lobes[3].wear = {wiped_wear(0.6)};
    const Run reference = swept(fresh, quiet_bench(0.0), 3);
    Run used = swept(worn, quiet_bench(10.0), 4);
    RegrindOptions options;
    options.limits.least_base_diameter_mm = 27.0;
    const RegrindPlan by_base = regrind_to_reference(reference, used, options);
    CHECK(by_base.verdict == Verdict::scrap);
    REQUIRE(by_base.reasons.size() == 1);
    CHECK(by_base.reasons[0].lobe == worn.lobes[3].lobe.name);
    CHECK(has(by_base.reasons[0].says, "base diameter left after a regrind 26."));
    CHECK(by_base.lobes[3].base_diameter_left_mm->value == Approx(26.8).margin(0.003));
    used.cam.case_depth_mm = 1.0;
    options.limits.least_base_diameter_mm.reset();
    const RegrindPlan by_case = regrind_to_reference(reference, used, options);
    CHECK(by_case.verdict == Verdict::scrap);
    CHECK(has(by_case.reasons[0].says, "case left after a regrind "));
    CHECK(by_case.lobes[3].case_left_mm->value == Approx(0.4).margin(0.003));
    used.cam.case_depth_mm = 1.6;
    CHECK(regrind_to_reference(reference, used, options).verdict == Verdict::regrind);
}

TEST_CASE("a sound cam needs no regrind", "[regrind]") {
    const CamModel fresh = launch_lobes(4);
    const RegrindPlan plan =
        regrind_to_reference(swept(fresh, quiet_bench(0.0), 5), swept(fresh, quiet_bench(30.0), 6), {});
    CHECK(plan.verdict == Verdict::reuse);
    CHECK(plan.stock_mm.value < 0.0015);
    for (const TappetPlace& place : plan.tappets) CHECK(place.fate == TappetFate::back);
}

TEST_CASE(
    "common practice, no source: without a thrust plate a high side to the front is ground to the rear, and "
    "costs "
    "its taper",
    "[regrind]") {
    CamModel fresh = launch_lobes(4);
    fresh.info.retention = Retention::none;
    for (LobeModel& lobe : fresh.lobes) lobe.taper_mm = std::abs(lobe.taper_mm);
    fresh.lobes[1].taper_mm = -0.020;
    CamModel worn = fresh;
    worn.lobes[0].wear = {wiped_wear(0.3)};
    const RegrindPlan plan =
        regrind_to_reference(swept(fresh, quiet_bench(0.0), 7), swept(worn, quiet_bench(0.0), 8), {});
    const RegroundLobe& turned = lobe_of(plan, fresh.lobes[1].lobe.name);
    CHECK(turned.taper.taper_mm == Approx(0.020).margin(0.0005));
    // Half of what the taper changes by, 0.040, comes off at the edge that was the low one.
    CHECK(turned.ground.stock_mm.value == Approx(0.020).margin(turned.ground.stock_mm.u95 + 0.0005));
    CHECK(turned.ground.edge == Edge::rear);
    CHECK(lobe_of(plan, fresh.lobes[2].lobe.name).ground.stock_mm.value < 0.0015);
}

TEST_CASE("a lobe whose flanks wear would turn is held by the drive's timing", "[regrind]") {
    // One lobe ground 1 degree late on its shaft: its flanks lie there, its drive has it a degree earlier.
    const CamModel fresh = launch_lobes(4);
    CamModel twisted = fresh;
    twisted.lobes[2].nose_deg += 1.0;
    RegrindOptions options;
    options.shift_deg = 0.25;
    const Run reference = swept(fresh, quiet_bench(0.0), 9), used = swept(twisted, quiet_bench(0.0), 10);
    const RegrindPlan plan = regrind_to_reference(reference, used, options);
    const RegroundLobe& late = lobe_of(plan, twisted.lobes[2].lobe.name);
    CHECK(late.shift_deg == Approx(0.25).margin(0.002));
    CHECK(late.ground.shift_at_bound);
    CHECK(late.ground.stock_mm.value > 0.05);
    options.shift_deg = 1.2;
    CHECK(lobe_of(regrind_to_reference(reference, used, options), late.name).ground.stock_mm.value < 0.002);
}

TEST_CASE("the grinder's table holds the model's lift, taper and stock", "[regrind]") {
    CamModel fresh = launch_lobes(4);
    for (LobeModel& lobe : fresh.lobes)
        lobe.form.clear();  // lift_of knows nothing of a micrometre of grinding form
    CamModel worn = fresh;
    worn.lobes[0].wear = {wiped_wear(0.3)};
    const RegrindPlan plan = regrind_to_reference(swept(fresh, quiet_bench(index_deg), 11),
                                                  swept(worn, quiet_bench(index_deg), 12), {});
    const LobeModel& model = fresh.lobes[0];
    const RegroundLobe& lobe = plan.lobes[0];
    const auto rows = grind_table(lobe.ground, lobe.depth_mm, 1.0);
    REQUIRE(rows.size() == 360);
    REQUIRE(grind_table(lobe.ground, lobe.depth_mm, 0.1).size() == 3600);
    const double depth = lobe.depth_mm;
    for (const GrindRow& row : rows) {
        INFO(row.angle_deg);
        const double lift = lift_of(model, row.angle_deg - index_deg - lobe.shift_deg);
        const double removed = 0.3 / model.lift_mm * lift_of(model, row.angle_deg - index_deg);
        // The bench's noise, and on a slope what one count of the encoder is worth.
        const double count_deg = 360.0 / 14400.0;
        const double count_mm = count_deg * std::abs(lift_of(model, row.angle_deg - index_deg + 0.5) -
                                                     lift_of(model, row.angle_deg - index_deg - 0.5));
        CHECK(row.lift_mm == Approx(lift).margin(0.001 + count_mm));
        CHECK(row.rear_mm - row.front_mm == Approx(model.taper_mm).margin(0.001));
        CHECK(0.5 * (row.off_front_mm + row.off_rear_mm) ==
              Approx(depth - removed + lift_of(model, row.angle_deg - index_deg) - lift)
                  .margin(0.001 + count_mm));
        CHECK(row.off_front_mm > -0.001);
        CHECK(row.off_rear_mm > -0.001);
    }
}

TEST_CASE("a library is ranked by what fits, the largest lift first", "[regrind]") {
    CamModel worn = launch_lobes(4);
    for (LobeModel& lobe : worn.lobes) lobe.form.clear();
    worn.lobes[0].wear = {
        wiped_wear(0.4)};  // an exhaust lobe, 5.6 less 0.4: the profile with lift L needs L - 5.2
    const Run used = swept(worn, quiet_bench(15.0), 13);
    const TempFolder folder;
    const LobeModel& shape = worn.lobes[0];
    write_profile(folder, "mild", shape, 5.0);
    write_profile(folder, "old", shape, 5.6);
    write_profile(folder, "middling", shape, 5.3);
    write_profile(folder, "wild", shape, 6.2);
    RegrindOptions options;
    options.limits.least_base_diameter_mm = 27.0;  // 0.5 mm may come off the radius
    const RegrindPlan plan = regrind_to(folder.path(), used, options);
    REQUIRE(plan.ranking.size() == 4);
    const std::vector<std::pair<std::string, double>> expected{
        {"old", 0.4}, {"middling", 0.1}, {"mild", 0.0}, {"wild", 1.0}};
    for (std::size_t i = 0; i < 4; ++i) {
        INFO(i);
        CHECK(plan.ranking[i].name == expected[i].first);
        CHECK(plan.ranking[i].fits == (i < 3));
        CHECK(plan.ranking[i].stock_mm.value ==
              Approx(expected[i].second).margin(plan.ranking[i].stock_mm.u95 + 0.001));
    }
    CHECK(has(plan.ranking[3].ruled_out, "base diameter left"));
    CHECK(plan.verdict == Verdict::regrind);
    CHECK(lobe_of(plan, shape.lobe.name).target == "old");
    CHECK_FALSE(lobe_of(plan, worn.lobes[1].lobe.name).has_target());  // no profile for intake lobes
    options.limits.least_base_diameter_mm = 28.0;                      // no metal may come off
    const RegrindPlan none = regrind_to(folder.path(), used, options);
    CHECK(none.verdict == Verdict::scrap);
    CHECK(has(none.reasons.at(0).says, "base diameter left"));
}

TEST_CASE("a target that can't be one is refused", "[regrind]") {
    const Run used = swept(launch_lobes(4), quiet_bench(0.0), 14);
    const TempFolder folder;
    CHECK_THROWS_AS(regrind_to(folder.path() / "nowhere", used, {}), NoInputError);
    CHECK_THROWS_AS(regrind_to(folder.path(), used, {}), DataError);
    std::ofstream(folder / "roller.profile")
        << "format = \"lobewright-profile/1\"\nunits = \"mm\"\n[profile]\nname = \"r\"\nkind = \"any\"\n"
           "follower = \"roller\"\nfollower_radius = 8\nangle_deg,lift\n";
    CHECK_THROWS_AS(regrind_to(folder.path() / "roller.profile", used, {}), DataError);
}
