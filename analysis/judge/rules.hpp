// rules.hpp: which rules a lobe and a cam stand under, each applied to its figure (docs/measuring.md section 8).
#pragma once

#include <optional>
#include <vector>

#include "analysis/judge/judgement.hpp"

namespace lobewright {

/// What every rule needs beside the figure: the cam it belongs to, the limits, and the unit for sentences.
struct RuleContext {
    const CamFigures& cam;
    const Limits& limits;
    Units units;
};

/// Whether the cam was measured after a run-in (condition `after`), which has limits of its own.
bool after_run_in(const RuleContext& context);

/// The rules that decide whether a lobe is fit, in the order of what they weigh: taper first, because a
/// tappet that doesn't turn wears its lobe out whatever the nose looks like; then lift loss; then runout.
std::vector<Ruling> fitness_rulings(const LobeFigures& lobe, const RuleContext& context);

/// The bend rule; nothing when no journals gave a bend.
std::optional<Ruling> bend_ruling(const RuleContext& context);

/// Whether the taper rule for flat tappets is among the rulings and every ruling of it is proved good.
bool ramps_hold(const std::vector<Ruling>& rulings);

/// Whether a ruling of the ramp taper rule is proved bad.
bool ramps_lost(const std::vector<Ruling>& rulings);

/// Applies one rule. `subject` names the figure ("closing ramp taper"); the last two say what follows when it
/// is proved bad or good, and may be empty.
struct Rule {
    std::string name;
    std::string subject;
    bool at_least = false;
    std::string if_bad;
    std::string if_good;
};
Ruling apply(const Rule& rule, const Measured& figure_mm, double limit_mm, const RuleContext& context);

}  // namespace lobewright
