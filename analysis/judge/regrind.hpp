// regrind.hpp: is the stock there to regrind a lobe that isn't fit (docs/measuring.md sections 8 and 9)?
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "analysis/judge/rules.hpp"

namespace lobewright {

/// What grinding `stock` off the whole profile leaves, held against what must be left.
struct Regrind {
    bool possible = true;  // false when anything that must be left can't be proved to be left
    std::vector<Ruling>
        rulings;  // "base diameter left" and "case left", where both figure and limit are given
    std::vector<std::string> notes;
};

/// What a regrind leaves of one lobe, as far as it is known.
struct LeftByRegrind {
    std::optional<Measured> base_diameter_mm;
    std::optional<Measured> case_mm;
};

/// What is left held against what must be left.
Regrind judge_left(const LeftByRegrind& left, const RuleContext& context);

/// Moving the profile inward by s takes 2 s off the base diameter and s off the case. Counted with its U,
/// because metal that isn't there can't be put back. Nothing given that rules a regrind out: possible, with a
/// note that says what wasn't given.
Regrind judge_regrind(const LobeFigures& lobe, const Measured& stock_mm, const RuleContext& context);

}  // namespace lobewright
