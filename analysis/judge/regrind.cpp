#include "analysis/judge/regrind.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "analysis/judge/decision.hpp"
#include "analysis/judge/wording.hpp"

namespace lobewright {
namespace {

/// `given_mm` less `times` the stock.
Measured left_mm(double given_mm, double times, const Measured& stock_mm) {
    return {given_mm - times * stock_mm.value, times * stock_mm.u95};
}

void rule_on_what_is_left(Regrind& regrind, const std::string& name, const Measured& figure_mm,
                          double least_mm, const RuleContext& context) {
    const Rule rule{name, fmt::format("{} after a regrind", name), true, ": too little is left", ""};
    Ruling ruling = apply(rule, figure_mm, least_mm, context);
    if (ruling.proof == Proof::open) {
        regrind.notes.push_back(
            fmt::format("the {} may still be enough: measure again before scrapping the cam", name));
    }
    regrind.possible = regrind.possible && ruling.proof == Proof::good;
    regrind.rulings.push_back(std::move(ruling));
}

/// Says which of the figures that could rule a regrind out were not given, if any.
std::string not_given(const LeftByRegrind& left, const RuleContext& context) {
    std::string missing;
    const auto add = [&](std::string_view what) { (missing += missing.empty() ? "" : ", ") += what; };
    if (!left.case_mm) add("the case depth (case_depth in run.toml)");
    if (!context.limits.least_base_diameter_mm)
        add("the least base diameter (least_base_diameter in the limits)");
    if (context.limits.least_base_diameter_mm && !left.base_diameter_mm) {
        add("the lobe's base diameter (base_diameter in run.toml)");
    }
    return missing;
}

}  // namespace

Regrind judge_left(const LeftByRegrind& left, const RuleContext& context) {
    Regrind regrind;
    if (left.base_diameter_mm && context.limits.least_base_diameter_mm) {
        rule_on_what_is_left(regrind, "base diameter left", *left.base_diameter_mm,
                             *context.limits.least_base_diameter_mm, context);
    }
    if (left.case_mm) {
        rule_on_what_is_left(regrind, "case left", *left.case_mm, context.limits.least_case_left_mm, context);
    }
    const std::string missing = not_given(left, context);
    if (!missing.empty()) {
        regrind.notes.push_back(fmt::format("not given, so it could not rule a regrind out: {}", missing));
    }
    return regrind;
}

Regrind judge_regrind(const LobeFigures& lobe, const Measured& stock_mm, const RuleContext& context) {
    if (!stock_mm.known()) {
        Regrind regrind;
        regrind.notes.emplace_back(
            context.cam.has_reference
                ? "how much must come off isn't known, so whether the stock is there isn't either"
                : "how much must come off isn't known without a reference run, so whether the stock is there "
                  "isn't "
                  "either");
        return regrind;
    }
    LeftByRegrind left;
    const auto& base_mm = lobe.reference_base_diameter_mm;
    if (base_mm) left.base_diameter_mm = left_mm(*base_mm, 2.0, stock_mm);
    const auto& case_mm = context.cam.cam.case_depth_mm;
    if (case_mm) left.case_mm = left_mm(*case_mm, 1.0, stock_mm);
    return judge_left(left, context);
}

}  // namespace lobewright
