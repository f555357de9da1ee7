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
void note_taper_on_offset(Notes& notes, const LobeFigures& lobe, const Bench& bench) {
    if (bench.cam.cam.follower != Follower::flat_offset || lobe.taper.datum != TaperDatum::mastered) return;
    for (Measured taper_mm :
         {lobe.taper.base_mm, lobe.taper.opening_mm, lobe.taper.nose_mm, lobe.taper.closing_mm}) {
        taper_mm.value = std::abs(taper_mm.value);
        if (prove(taper_mm, bench.limits.taper_without_need_mm, false) != Proof::bad) continue;
        notes.push_back(fmt::format(
            "finding: the lobe has more taper than {}, though its tappet is set off centre and needs none",
            say_length(bench.limits.taper_without_need_mm, bench.units)));
        return;
    }
}

void note_push_forward(Notes& notes, const LobeFigures& lobe, const Bench& bench) {
    if (bench.cam.cam.retention != Retention::none || lobe.taper.high_side != HighSide::front) return;
    notes.emplace_back(
        "finding: high side to the front, so the lobe pushes the cam forward, where nothing holds it (no "
        "thrust "
        "plate)");
}

/// More lift than when it was new, by more than the rule allows to be lost: not the same lobe.
void note_gained_lift(Notes& notes, const LobeFigures& lobe, const Bench& bench) {
    const Measured& loss_mm = lobe.lift.loss_mm;
    if (!loss_mm.known() || !(loss_mm.value + loss_mm.u95 < -bench.limits.lift_loss_mm)) return;
    notes.emplace_back(
        "finding: the used lobe lifts more than the reference does: is it the same cam and lobe?");
}

/// Over which arc about the nose the taper is gone, lobe by lobe: what high mileage does.
void note_flat_arcs(Notes& notes, const Bench& bench) {
    std::vector<std::string> arcs;
    for (const LobeFigures& lobe : bench.cam.lobes) {
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

void note_lost_taper(Notes& notes, const std::vector<LobeJudgement>& lobes, const Bench& bench) {
    const std::vector<std::string> lost = lobes_without_taper(lobes);
    if (lost.empty()) return;
    if (!after_run_in(bench)) {
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
void note_retention(Notes& notes, const Bench& bench) {
    const CamInfo& cam = bench.cam.cam;
    const Push pushes = bench.cam.thrust.pushes;
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

void note_thrust(Notes& notes, const Bench& bench) {
    const ThrustFigures& thrust = bench.cam.thrust;
    if (bench.cam.cam.follower != Follower::flat || bench.cam.cam.retention != Retention::thrust_plate)
        return;
    if (!thrust.share.known() || std::abs(thrust.share.value) < 0.999) return;  // 1 is every lobe one way
    notes.push_back(fmt::format(
        "every lobe pushes the cam to the {}: a loss at the thrust plate, no fault; high sides that "
        "alternate let the pushes cancel",
        thrust.pushes == Push::front ? "front" : "rear"));
}

/// One depth comes off the whole cam: what that leaves of base circles and case, and what the valve train
/// makes up. Counted with its U, as the regrind rules count it.
void note_regrind(Notes& notes, const Bench& bench) {
    const Measured& stock_mm = bench.cam.stock_to_clean_mm;
    if (!stock_mm.known() || !std::isfinite(stock_mm.u95)) return;
    const double depth_mm = std::max(0.0, stock_mm.value + stock_mm.u95);
    std::optional<double> smallest_base_mm;
    std::vector<std::string> short_of_stock;
    for (const LobeFigures& lobe : bench.cam.lobes) {
        const auto& base_mm = lobe.reference_base_diameter_mm;
        if (base_mm) smallest_base_mm = std::min(*base_mm, smallest_base_mm.value_or(*base_mm));
        if (!judge_regrind(lobe, stock_mm, bench).possible) short_of_stock.push_back(lobe.name);
    }
    std::string note = fmt::format("a regrind takes {} off every lobe at the least, U included",
                                   say_rounded(depth_mm, bench.units));
    if (smallest_base_mm) {
        note += fmt::format("; the smallest base diameter becomes {}",
                            say_rounded(*smallest_base_mm - 2.0 * depth_mm, bench.units));
    }
    if (bench.cam.cam.case_depth_mm) {
        note += fmt::format("; {} of case is left",
                            say_rounded(*bench.cam.cam.case_depth_mm - depth_mm, bench.units));
    }
    notes.push_back(note + "; tappets sit that depth lower, which pushrods or lash must make up");
    if (short_of_stock.empty()) return;
    notes.push_back(
        fmt::format("that one depth leaves too little on {}: each lobe would have to be ground to its own",
                    fmt::join(short_of_stock, ", ")));
}

}  // namespace

Notes lobe_findings(const LobeFigures& lobe, const std::vector<Ruling>& rulings, const Bench& bench) {
    Notes notes;
    note_flat_nose(notes, lobe, rulings);
    note_taper_on_offset(notes, lobe, bench);
    note_push_forward(notes, lobe, bench);
    note_gained_lift(notes, lobe, bench);
    note_run_in_wear(notes, lobe, bench);
    return notes;
}

Notes cam_findings(const std::vector<LobeJudgement>& lobes, Verdict verdict, const Bench& bench) {
    Notes notes = run_in_findings(lobes, bench);
    note_lost_taper(notes, lobes, bench);
    note_flat_arcs(notes, bench);
    if (verdict == Verdict::regrind) note_regrind(notes, bench);
    note_thrust(notes, bench);
    note_retention(notes, bench);
    if (!bench.cam.has_reference) {
        notes.emplace_back("no reference run: lift loss, wear and the stock to clean up weren't judged");
    }
    notes.push_back(fmt::format("limits: {}; the engine maker's come before them", bench.limits.source));
    return notes;
}

}  // namespace lobewright
