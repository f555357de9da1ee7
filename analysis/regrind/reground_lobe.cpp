#include "analysis/regrind/reground_lobe.hpp"

#include <fmt/format.h>

#include "analysis/judge/wording.hpp"

namespace lobewright {
namespace {

LeftByRegrind left_of(const GroundLobe& ground, const Measured& stock_mm, const LobeMetal& metal) {
    LeftByRegrind left;
    if (metal.base_diameter_mm) {
        left.base_diameter_mm = {*metal.base_diameter_mm - 2.0 * stock_mm.value, 2.0 * stock_mm.u95};
    }
    if (metal.case_depth_mm) {
        left.case_mm = {*metal.case_depth_mm - stock_mm.value - ground.most_above_target_mm, stock_mm.u95};
    }
    return left;
}

/// A flat follower's profile that is moved inward further than its smallest radius of curvature comes to a cusp: the
/// tappet would no longer touch it everywhere, and the lift can't be kept.
void rule_on_cusp(Regrind& regrind, const GroundLobe& ground, const Measured& stock_mm,
                  const LobeMetal& metal, const RuleContext& context) {
    if (!metal.flat_follower || !metal.base_diameter_mm) return;
    const Measured radius{0.5 * *metal.base_diameter_mm + ground.least_radius_mm - stock_mm.value,
                          stock_mm.u95};
    if (radius.value - radius.u95 > 0.0) return;
    regrind.possible = false;
    regrind.rulings.push_back(
        {"radius left", Proof::bad, radius, 0.0, true,
         fmt::format(
             "the smallest radius of curvature after a regrind would be {}: the profile can't be moved "
             "that far inward and keep its lift",
             say_figure(radius, context.units))});
}

}  // namespace

Regrind judge_ground(const GroundLobe& ground, const Measured& stock_mm, const LobeMetal& metal,
                     const RuleContext& context) {
    Regrind regrind = judge_left(left_of(ground, stock_mm, metal), context);
    rule_on_cusp(regrind, ground, stock_mm, metal, context);
    return regrind;
}

void judge_lobe_left(RegroundLobe& lobe, const LobeMetal& metal, const RuleContext& context) {
    const LeftByRegrind left = left_of(lobe.ground, lobe.ground.stock_mm, metal);
    lobe.base_diameter_left_mm = left.base_diameter_mm;
    lobe.case_left_mm = left.case_mm;
    lobe.left = judge_ground(lobe.ground, lobe.ground.stock_mm, metal, context);
    lobe.notes = lobe.left.notes;
    if (metal.case_depth_mm && !lobe.ground.new_surface_known) {
        lobe.notes.emplace_back(
            "the case left is counted from the worn surface: what the lobe has worn already isn't known "
            "without a "
            "reference run, and comes off the case as well");
    }
    if (lobe.taper.heel_unknown && !lobe.taper.kept) {
        lobe.notes.emplace_back(
            "another taper than the lobe was ground to, and no front-to-rear zero says what its heel has: "
            "the stock "
            "for the change of taper isn't counted");
    }
    if (lobe.ground.shift_at_bound) {
        lobe.notes.emplace_back(
            "less would come off if the lobe might turn further from its place (--shift); its timing would "
            "go with "
            "it");
    }
}

}  // namespace lobewright
