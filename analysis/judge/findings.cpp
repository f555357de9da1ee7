#include "analysis/judge/findings.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "analysis/judge/decision.hpp"
#include "analysis/judge/regrind.hpp"
#include "analysis/judge/run_in.hpp"
#include "analysis/judge/wording.hpp"

namespace lobewright {
namespace {

using Notes = std::vector<std::string>;

/// A flat nose on tapered ramps: fit for use.
void note_flat_nose(Notes& notes, const LobeFigures& lobe, const std::vector<Ruling>& rulings) {
    const Measured& flat_deg = lobe.wear.flat_arc_deg;
    if (!flat_deg.known() || flat_deg.value <= 0.0 || !ramps_hold(rulings)) return;
    notes.emplace_back(
        "the nose reads flat across its width: no fault while the ramps keep their taper, because the nose "
        "passes in "
        "about a millisecond, too short to slow a spinning tappet");
}

/// Taper on a lobe whose tappet turns by its offset: a finding, never a verdict.
void note_taper_on_offset(Notes& notes, const LobeFigures& lobe, const RuleContext& context) {
    if (context.cam.cam.follower != Follower::flat_offset || lobe.taper.datum != TaperDatum::mastered) return;
    for (Measured taper_mm :
         {lobe.taper.base_mm, lobe.taper.opening_mm, lobe.taper.nose_mm, lobe.taper.closing_mm}) {
        taper_mm.value = std::abs(taper_mm.value);
        if (prove(taper_mm, context.limits.taper_without_need_mm, false) != Proof::bad) continue;
        notes.push_back(fmt::format(
            "finding: the lobe has more taper than {}, though its tappet is set off centre and needs none",
            say_length(context.limits.taper_without_need_mm, context.units)));
        return;
    }
}

void note_push_forward(Notes& notes, const LobeFigures& lobe, const RuleContext& context) {
    if (context.cam.cam.retention != Retention::none || lobe.taper.high_side != HighSide::front) return;
    notes.emplace_back(
        "finding: high side to the front, so the lobe pushes the cam forward, where nothing holds it (no "
        "thrust "
        "plate)");
}

/// More lift than when it was new, by more than the rule allows to be lost: not the same lobe.
void note_gained_lift(Notes& notes, const LobeFigures& lobe, const RuleContext& context) {
    const Measured& loss_mm = lobe.lift.loss_mm;
    if (!loss_mm.known() || !(loss_mm.value + loss_mm.u95 < -context.limits.lift_loss_mm)) return;
    notes.emplace_back(
        "finding: the used lobe lifts more than the reference does: is it the same cam and lobe?");
}

/// Over which arc about the nose the taper is gone, lobe by lobe: what high mileage does.
void note_flat_arcs(Notes& notes, const RuleContext& context) {
    std::vector<std::string> arcs;
    for (const LobeFigures& lobe : context.cam.lobes) {
        const Measured& flat_deg = lobe.wear.flat_arc_deg;
        if (flat_deg.known() && flat_deg.value > 0.0)
            arcs.push_back(fmt::format("{} {}", lobe.name, fixed(flat_deg.value, 0)));
    }
    if (arcs.empty()) return;
    notes.push_back(
        fmt::format("taper is gone about the nose, over so many cam degrees: {}", fmt::join(arcs, ", ")));
}

/// Names of the lobes whose ramp taper is proved to be lost.
std::vector<std::string> lobes_without_taper(const std::vector<LobeJudgement>& lobes) {
    std::vector<std::string> names;
    for (const LobeJudgement& lobe : lobes) {
        if (ramps_lost(lobe.rulings)) names.push_back(lobe.name);
    }
    return names;
}

void note_lost_taper(Notes& notes, const std::vector<LobeJudgement>& lobes, const RuleContext& context) {
    const std::vector<std::string> lost = lobes_without_taper(lobes);
    if (lost.empty()) return;
    if (!after_run_in(context)) {
        notes.push_back(fmt::format(
            "the taper that turns the tappet is gone on {}: a tappet that stands still wears its lobe out",
            fmt::join(lost, ", ")));
    }
    // "Many" is half of the cam or more: one lobe has a cause of its own, half of them share one.
    if (lost.size() >= 2 && 2 * lost.size() >= lobes.size()) {
        notes.emplace_back(
            "taper is lost on many lobes: check the oil, for oil without an anti-wear zinc additive takes it "
            "off "
            "fast");
    }
}

/// Where follower and what holds the cam don't go together.
void note_retention(Notes& notes, const RuleContext& context) {
    const CamInfo& cam = context.cam.cam;
    const Push pushes = context.cam.thrust.pushes;
    if (cam.retention == Retention::none && cam.follower != Follower::flat) {
        notes.push_back(
            fmt::format("finding: {} lobes need no taper, so none holds the cam to the rear, and no thrust "
                        "plate or button is given: "
                        "look at what holds it ([cam] retention)",
                        cam.follower == Follower::roller ? "roller" : "flat-offset"));
    } else if (cam.retention == Retention::none && pushes == Push::none) {
        notes.emplace_back(
            "finding: no lobe has taper left to hold the cam to the rear, and there is no thrust plate");
    } else if (cam.retention == Retention::button && pushes == Push::front) {
        notes.emplace_back(
            "the lobes push the cam to the front, onto its button: look at the button for wear");
    }
}

void note_thrust(Notes& notes, const RuleContext& context) {
    const ThrustFigures& thrust = context.cam.thrust;
    if (context.cam.cam.follower != Follower::flat || context.cam.cam.retention != Retention::thrust_plate)
        return;
    if (!thrust.share.known() || std::abs(thrust.share.value) < 0.999) return;  // 1 is every lobe one way
    notes.push_back(fmt::format(
        "every lobe pushes the cam to the {}: a loss at the thrust plate, no fault; high sides that "
        "alternate let the pushes cancel",
        thrust.pushes == Push::front ? "front" : "rear"));
}

/// One depth comes off the whole cam: what that leaves of base circles and case, and what the valve train
/// makes up. Counted with its U, as the regrind rules count it.
void note_regrind(Notes& notes, const RuleContext& context) {
    const Measured& stock_mm = context.cam.stock_to_clean_mm;
    if (!stock_mm.known() || !std::isfinite(stock_mm.u95)) return;
    const double depth_mm = std::max(0.0, stock_mm.value + stock_mm.u95);
    std::optional<double> smallest_base_mm;
    std::vector<std::string> short_of_stock;
    for (const LobeFigures& lobe : context.cam.lobes) {
        const auto& base_mm = lobe.reference_base_diameter_mm;
        if (base_mm) smallest_base_mm = std::min(*base_mm, smallest_base_mm.value_or(*base_mm));
        if (!judge_regrind(lobe, stock_mm, context).possible) short_of_stock.push_back(lobe.name);
    }
    std::string note = fmt::format("a regrind takes {} off every lobe at the least, U included",
                                   say_rounded(depth_mm, context.units));
    if (smallest_base_mm) {
        note += fmt::format("; the smallest base diameter becomes {}",
                            say_rounded(*smallest_base_mm - 2.0 * depth_mm, context.units));
    }
    if (context.cam.cam.case_depth_mm) {
        note += fmt::format("; {} of case is left",
                            say_rounded(*context.cam.cam.case_depth_mm - depth_mm, context.units));
    }
    notes.push_back(note + "; tappets sit that depth lower, which pushrods or lash must make up");
    if (short_of_stock.empty()) return;
    notes.push_back(
        fmt::format("that one depth leaves too little on {}: each lobe would have to be ground to its own",
                    fmt::join(short_of_stock, ", ")));
}

}  // namespace

Notes lobe_findings(const LobeFigures& lobe, const std::vector<Ruling>& rulings, const RuleContext& context) {
    Notes notes;
    note_flat_nose(notes, lobe, rulings);
    note_taper_on_offset(notes, lobe, context);
    note_push_forward(notes, lobe, context);
    note_gained_lift(notes, lobe, context);
    note_run_in_wear(notes, lobe, context);
    return notes;
}

Notes cam_findings(const std::vector<LobeJudgement>& lobes, Verdict verdict, const RuleContext& context) {
    Notes notes = run_in_findings(lobes, context);
    note_lost_taper(notes, lobes, context);
    note_flat_arcs(notes, context);
    if (verdict == Verdict::regrind) note_regrind(notes, context);
    note_thrust(notes, context);
    note_retention(notes, context);
    if (!context.cam.has_reference) {
        notes.emplace_back("no reference run: lift loss, wear and the stock to clean up weren't judged");
    }
    notes.push_back(fmt::format("limits: {}; the engine maker's come before them", context.limits.source));
    return notes;
}

}  // namespace lobewright
