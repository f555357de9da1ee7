#include "analysis/judge/rules.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

#include "analysis/judge/decision.hpp"
#include "analysis/judge/wording.hpp"

namespace lobewright {
namespace {

constexpr auto ramp_taper_rule = "ramp taper";

std::string say_limit(double limit_mm, const RuleContext& context) {
    const bool built_in = context.limits.source == Limits{}.source;
    return say_length(limit_mm, context.units) + (built_in ? " (common practice)" : "");
}

std::string say_ruling(const Rule& rule, const Ruling& ruling, const RuleContext& context) {
    const std::string limit = fmt::format("the {} {}", rule.at_least ? "least of" : "limit of",
                                          say_limit(ruling.limit_mm, context));
    if (!ruling.figure.known()) {
        return fmt::format("{} isn't known, so it can't be held against {}: the notes say why", rule.subject,
                           limit);
    }
    const std::string measured = fmt::format("{} {}", rule.subject, say_figure(ruling.figure, context.units));
    if (!std::isfinite(ruling.figure.u95)) {
        return fmt::format("{} can't be held against {}: its uncertainty isn't known", measured, limit);
    }
    if (ruling.proof == Proof::open) {
        return fmt::format(
            "{} is too near {} to tell: take more passes, or use indicators with a smaller error limit",
            measured, limit);
    }
    if (ruling.proof == Proof::good) {
        return fmt::format("{} is {} {}{}", measured, rule.at_least ? "above" : "within", limit,
                           rule.if_good);
    }
    return fmt::format("{} is {} {}{}", measured, rule.at_least ? "below" : "over", limit, rule.if_bad);
}

struct Ramp {
    std::string_view name;
    Measured taper_mm;
};

/// The taper rule of a flat tappet, a ruling a ramp, the lesser ramp first.
/// Taper is counted toward the lobe's high side, which is that of the ramp with more of it: torque on the
/// tappet is load times crown radius times taper slope (docs/measuring.md), so a ramp that is high on the
/// other side turns the tappet back and counts as having less than none.
std::vector<Ruling> flat_tappet_rulings(const LobeFigures& lobe, const RuleContext& context) {
    const double limit_mm = after_run_in(context) ? context.limits.run_in_least_ramp_taper_mm
                                                  : context.limits.least_ramp_taper_mm;
    if (lobe.taper.datum != TaperDatum::mastered) {
        Ruling open{ramp_taper_rule, Proof::open, {}, limit_mm, true, {}};
        open.says = fmt::format(
            "ramp taper isn't known, so it can't be held against the least of {}: the run has no "
            "front-to-rear "
            "zero, which leaves only the change of taper around the lobe; take a datum (both indicators on a "
            "true "
            "parallel, or the cam swept end for end) and measure again",
            say_limit(limit_mm, context));
        return {open};
    }
    std::array ramps{Ramp{"opening", lobe.taper.opening_mm}, Ramp{"closing", lobe.taper.closing_mm}};
    const auto size = [](const Ramp& ramp) {
        return ramp.taper_mm.known() ? std::abs(ramp.taper_mm.value) : -1.0;
    };
    if (size(ramps[1]) < size(ramps[0])) std::swap(ramps[0], ramps[1]);
    const double toward_high_side = ramps[1].taper_mm.value < 0.0 ? -1.0 : 1.0;

    std::vector<Ruling> rulings;
    for (Ramp& ramp : ramps) {
        ramp.taper_mm.value *= toward_high_side;
        const bool turns_back = ramp.taper_mm.known() && ramp.taper_mm.value < -ramp.taper_mm.u95;
        const Rule rule{ramp_taper_rule, fmt::format("{} ramp taper", ramp.name), true,
                        turns_back ? ", high to the other side than the other ramp: the tappet is turned back"
                        : after_run_in(context) ? ": too little to last a lobe its life"
                                                : ": the tappet won't turn",
                        ": the tappet turns"};
        rulings.push_back(apply(rule, ramp.taper_mm, limit_mm, context));
    }
    return rulings;
}

/// A roller needs no taper, and rides on one edge where there is some: a fault wherever it is found.
std::vector<Ruling> roller_rulings(const LobeFigures& lobe, const RuleContext& context) {
    const double limit_mm = context.limits.taper_without_need_mm;
    const bool mastered = lobe.taper.datum == TaperDatum::mastered;
    const std::array places{
        Ramp{"base-circle taper", lobe.taper.base_mm}, Ramp{"opening ramp taper", lobe.taper.opening_mm},
        Ramp{"nose taper", lobe.taper.nose_mm}, Ramp{"closing ramp taper", lobe.taper.closing_mm}};
    if (!mastered) {
        Ruling open{"taper", Proof::open, {}, limit_mm, false, {}};
        open.says = fmt::format(
            "taper isn't known, so it can't be held against the limit of {} for rollers: the run has no "
            "front-to-rear zero; take a datum (both indicators on a true parallel, or the cam swept end for "
            "end) "
            "and measure again",
            say_limit(limit_mm, context));
        return {open};
    }
    std::vector<Ruling> rulings;
    for (const Ramp& place : places) {
        Measured size_mm = place.taper_mm;
        size_mm.value = std::abs(size_mm.value);
        const Rule rule{"taper", std::string(place.name), false, ": a roller rides on one edge of it", ""};
        rulings.push_back(apply(rule, size_mm, limit_mm, context));
    }
    return rulings;
}

std::vector<Ruling> taper_rulings(const LobeFigures& lobe, const RuleContext& context) {
    switch (context.cam.cam.follower) {
        case Follower::flat:
            return flat_tappet_rulings(lobe, context);
        case Follower::roller:
            return roller_rulings(lobe, context);
        case Follower::flat_offset:
            break;  // turns by its offset: neither taper nor its absence decides
    }
    return {};
}

}  // namespace

bool after_run_in(const RuleContext& context) {
    return context.cam.used.condition == Condition::after;
}

Ruling apply(const Rule& rule, const Measured& figure_mm, double limit_mm, const RuleContext& context) {
    Ruling ruling{rule.name, prove(figure_mm, limit_mm, rule.at_least), figure_mm, limit_mm, rule.at_least,
                  {}};
    ruling.says = say_ruling(rule, ruling, context);
    return ruling;
}

std::vector<Ruling> fitness_rulings(const LobeFigures& lobe, const RuleContext& context) {
    std::vector<Ruling> rulings = taper_rulings(lobe, context);
    if (context.cam.has_reference) {
        const bool run_in = after_run_in(context);
        const Rule lift{
            "lift loss", "lift loss", false,
            run_in ? ": more than a run-in takes off a sound lobe" : ": the valve opens too little", ""};
        rulings.push_back(apply(lift, lobe.lift.loss_mm,
                                run_in ? context.limits.run_in_lift_loss_mm : context.limits.lift_loss_mm,
                                context));
    }
    // Sisters can prove a loss, never that there is none: what all of them lost alike stays unseen.
    // One whose uncertainty isn't known may be wiped down or lower by design (analysis/sisters): that is open.
    const Measured& below_mm = lobe.lift.below_sisters_mm;
    const bool unsure =
        below_mm.known() && !std::isfinite(below_mm.u95) && below_mm.value > context.limits.lift_loss_mm;
    if (unsure || prove(below_mm, context.limits.lift_loss_mm, false) == Proof::bad) {
        const Rule sisters{"lift against sisters", "lift below the best of its sisters", false,
                           ": the valve opens too little", ""};
        rulings.push_back(apply(sisters, below_mm, context.limits.lift_loss_mm, context));
    }
    const EdgePair& runout_mm = lobe.base_circle.runout_mm;
    for (const auto& [edge, figure_mm] : {std::pair{"front", runout_mm.front}, {"rear", runout_mm.rear}}) {
        const Rule runout{"base-circle runout", fmt::format("base-circle runout at the {} edge", edge), false,
                          ": the lash changes while the valve should be shut", ""};
        rulings.push_back(apply(runout, figure_mm, context.limits.base_circle_runout_mm, context));
    }
    return rulings;
}

std::optional<Ruling> bend_ruling(const RuleContext& context) {
    if (!context.cam.bend_mm.known()) return std::nullopt;
    const Rule bend{"bend", "bend", false, ": straighten the cam before anything else is ground", ""};
    return apply(bend, context.cam.bend_mm, context.limits.bend_mm, context);
}

bool ramps_hold(const std::vector<Ruling>& rulings) {
    const auto is_ramp = [](const Ruling& ruling) { return ruling.rule == ramp_taper_rule; };
    return std::any_of(rulings.begin(), rulings.end(), is_ramp) &&
           std::all_of(rulings.begin(), rulings.end(),
                       [&](const Ruling& ruling) { return !is_ramp(ruling) || ruling.proof == Proof::good; });
}

bool ramps_lost(const std::vector<Ruling>& rulings) {
    return std::any_of(rulings.begin(), rulings.end(), [](const Ruling& ruling) {
        return ruling.rule == ramp_taper_rule && ruling.proof == Proof::bad;
    });
}

}  // namespace lobewright
