#include "analysis/regrind/plan_cam.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "analysis/judge/decision.hpp"
#include "analysis/judge/wording.hpp"
#include "analysis/regrind/reground_lobe.hpp"

namespace lobewright {
namespace {

double with_u(const Measured& stock_mm) {
    return std::max(0.0, stock_mm.value + (std::isfinite(stock_mm.u95) ? stock_mm.u95 : 0.0));
}

/// What stands against grinding this lobe: "" when nothing does.
std::string why_not(const RegroundLobe& lobe) {
    for (const Ruling& ruling : lobe.left.rulings) {
        if (ruling.proof != Proof::good) return fmt::format("lobe {}: {}", lobe.name, ruling.says);
    }
    return "";
}

void find_depth(RegrindPlan& plan) {
    for (const RegroundLobe& lobe : plan.lobes) {
        if (!lobe.has_target()) continue;
        plan.depth_mm = std::max(plan.depth_mm, with_u(lobe.ground.stock_mm));
        if (plan.stock_mm.known() && lobe.ground.stock_mm.value <= plan.stock_mm.value) continue;
        plan.stock_mm = lobe.ground.stock_mm;
        plan.limited_by = lobe.name;
    }
}

/// One depth off every lobe leaves all base circles alike; where it is too deep for one, each gets its own.
void share_depth(RegrindPlan& plan, const CamFigures& figures, const Run& used,
                 const RegrindOptions& options) {
    const RuleContext context{figures, options.limits, options.units};
    for (std::size_t i = 0; i < plan.lobes.size(); ++i) {
        const RegroundLobe& lobe = plan.lobes[i];
        if (!lobe.has_target()) continue;
        const auto& reference_base = figures.lobes[i].reference_base_diameter_mm;
        const LobeMetal metal{reference_base ? reference_base : used.lobes[i].base_diameter_mm,
                              figures.cam.case_depth_mm, figures.cam.follower != Follower::roller};
        const bool possible = judge_ground(lobe.ground, {plan.depth_mm, 0.0}, metal, context).possible;
        plan.one_depth = plan.one_depth && (possible || !lobe.left.possible);
    }
    for (RegroundLobe& lobe : plan.lobes) {
        if (lobe.has_target()) lobe.depth_mm = plan.one_depth ? plan.depth_mm : with_u(lobe.ground.stock_mm);
    }
}

std::string_view word_of(Edge edge) {
    return edge == Edge::front ? "front" : "rear";
}

void decide(RegrindPlan& plan, const RegrindOptions& options) {
    const bool fit_or_open = plan.has_reference && plan.as_it_is.verdict < Verdict::regrind;
    if (fit_or_open) {
        plan.verdict = plan.as_it_is.verdict;
        plan.reasons = plan.as_it_is.reasons;
        return;
    }
    plan.verdict = Verdict::regrind;
    for (const RegroundLobe& lobe : plan.lobes) {
        if (!lobe.has_target() || lobe.left.possible) continue;
        plan.verdict = Verdict::scrap;
        for (const Ruling& ruling : lobe.left.rulings) {
            if (ruling.proof != Proof::good) plan.reasons.push_back({ruling.rule, ruling.says, lobe.name});
        }
    }
    if (plan.verdict == Verdict::scrap) return;
    for (const RegroundLobe& lobe : plan.lobes) {
        if (lobe.name != plan.limited_by) continue;
        plan.reasons.push_back({"stock",
                                fmt::format("needs the most stock, {}, decided at {} deg on its {} edge",
                                            say_figure(plan.stock_mm, options.units),
                                            fixed(lobe.ground.at_deg, 1), word_of(lobe.ground.edge)),
                                lobe.name});
    }
    for (const CamReason& reason : plan.as_it_is.reasons) {
        if (plan.as_it_is.verdict >= Verdict::regrind) plan.reasons.push_back(reason);
    }
}

void find_separations(RegrindPlan& plan) {
    for (const RegroundLobe& intake : plan.lobes) {
        if (intake.kind != LobeKind::intake || !intake.cylinder || !intake.has_target()) continue;
        for (const RegroundLobe& exhaust : plan.lobes) {
            if (exhaust.kind != LobeKind::exhaust || exhaust.cylinder != intake.cylinder ||
                !exhaust.has_target())
                continue;
            const double deg = wrapped_deg(intake.ground.centreline_deg - exhaust.ground.centreline_deg);
            plan.separations.push_back(
                {*intake.cylinder, intake.name, exhaust.name, deg, intake.shift_deg - exhaust.shift_deg});
        }
    }
    std::stable_sort(plan.separations.begin(), plan.separations.end(),
                     [](const Separation& a, const Separation& b) { return a.cylinder < b.cylinder; });
}

void add_notes(RegrindPlan& plan, const CamFigures& figures, const Run& used, const RegrindOptions& options) {
    if (std::any_of(plan.as_it_is.reasons.begin(), plan.as_it_is.reasons.end(),
                    [](const CamReason& reason) { return reason.rule == "bend"; }) &&
        plan.as_it_is.verdict >= Verdict::regrind) {
        plan.notes.emplace_back(
            "the cam is bent: straighten it first, then sweep it again, and only then grind");
    }
    if (!plan.one_depth) {
        plan.notes.emplace_back(
            "one depth off every lobe would leave too little on some: each lobe is ground to its own depth, "
            "and "
            "pushrods or lash differ from lobe to lobe");
    }
    std::vector<std::string> without;
    for (const RegroundLobe& lobe : plan.lobes) {
        if (!lobe.has_target()) without.push_back(lobe.name);
    }
    if (!without.empty()) {
        plan.notes.push_back(
            fmt::format("no profile is for the kind of {}: not ground here", fmt::join(without, ", ")));
    }
    double eccentricity = 0.0;
    for (const LobeFigures& lobe : figures.lobes) {
        if (lobe.base_circle.eccentricity_mm.known()) {
            eccentricity = std::max(eccentricity, lobe.base_circle.eccentricity_mm.value);
        }
    }
    plan.notes.push_back(
        fmt::format("stock counts each lobe about its own base circle; as the cam lay they stand up to {} "
                    "off its axis of "
                    "rotation, and on other centres that comes on top",
                    say_rounded(eccentricity, options.units)));
    if (used.rig.tip == Tip::flat) {
        plan.notes.emplace_back(
            "a flat tip bridges hollows: where the worn surface has one, more must come off than the stock "
            "says");
    }
    if (!plan.has_reference) {
        plan.notes.emplace_back(
            "lobes keep the centrelines they have now: without a reference run what wear moved can't be "
            "told");
    }
}

}  // namespace

std::vector<ProfileFit> rank_profiles(const std::vector<std::vector<RegroundLobe>>& tried) {
    std::vector<ProfileFit> out;
    for (const LobeKind kind : {LobeKind::intake, LobeKind::exhaust, LobeKind::other}) {
        std::vector<ProfileFit> of_kind;
        for (const auto& lobes : tried) {
            ProfileFit fit;
            fit.kind = kind;
            for (const RegroundLobe& lobe : lobes) {
                if (lobe.kind != kind || !lobe.has_target()) continue;
                fit.name = lobe.target;
                fit.lift_mm = lobe.ground.lift_mm;
                if (!fit.stock_mm.known() || lobe.ground.stock_mm.value > fit.stock_mm.value)
                    fit.stock_mm = lobe.ground.stock_mm;
                if (lobe.left.possible) continue;
                if (fit.fits) fit.ruled_out = why_not(lobe);
                fit.fits = false;
            }
            if (!fit.name.empty()) of_kind.push_back(std::move(fit));
        }
        std::stable_sort(of_kind.begin(), of_kind.end(), [](const ProfileFit& a, const ProfileFit& b) {
            if (a.fits != b.fits) return a.fits;
            if (!a.fits) return a.stock_mm.value < b.stock_mm.value;
            return a.lift_mm > b.lift_mm;
        });
        out.insert(out.end(), of_kind.begin(), of_kind.end());
    }
    return out;
}

std::vector<RegroundLobe> best_of(const std::vector<std::vector<RegroundLobe>>& tried,
                                  const std::vector<ProfileFit>& ranking) {
    std::vector<RegroundLobe> out = tried.front();
    for (std::size_t i = 0; i < out.size(); ++i) {
        const auto first = std::find_if(ranking.begin(), ranking.end(),
                                        [&](const ProfileFit& fit) { return fit.kind == out[i].kind; });
        if (first == ranking.end()) continue;
        for (const auto& lobes : tried) {
            if (lobes[i].target == first->name) out[i] = lobes[i];
        }
    }
    return out;
}

RegrindPlan plan_cam(const CamFigures& figures, std::vector<RegroundLobe> lobes, PlanTarget target,
                     const Run& used, const Run* reference, const RegrindOptions& options) {
    RegrindPlan plan;
    plan.has_reference = reference != nullptr;
    plan.target = std::move(target.name);
    plan.ranking = std::move(target.ranking);
    plan.notes = std::move(target.notes);
    plan.used = used.info;
    plan.cam = figures.cam;
    plan.as_it_is = judge(figures, options.limits, options.units);
    plan.lobes = std::move(lobes);
    find_depth(plan);
    share_depth(plan, figures, used, options);
    decide(plan, options);
    find_separations(plan);
    plan.tappets =
        place_tappets(reference, used, plan.as_it_is.lobes, plan.verdict, plan.verdict >= Verdict::regrind);
    plan.valve_train.at_tappet_mm = plan.depth_mm;
    std::optional<double> ratio = used.valvetrain ? used.valvetrain->rocker_ratio : std::nullopt;
    if (!ratio && reference != nullptr && reference->valvetrain) ratio = reference->valvetrain->rocker_ratio;
    if (ratio) plan.valve_train.at_valve_mm = plan.depth_mm * *ratio;
    add_notes(plan, figures, used, options);
    return plan;
}

}  // namespace lobewright
