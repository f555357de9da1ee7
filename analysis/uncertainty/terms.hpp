// terms.hpp: the uncertainty of one figure by source, and how the parts combine (GUM, JCGM 100:2008, from
// memory).
#pragma once

#include <array>
#include <string>
#include <string_view>
#include <vector>

#include "analysis/measured.hpp"

namespace lobewright {

/// Standard uncertainties of one figure by source, in the figure's unit.
struct UncertaintyTerms {
    double noise = 0.0;
    double encoder = 0.0;  // its rounding, and its error where one is stated, times the slope
    double indicator = 0.0;
    double step = 0.0;
    double smoothing = 0.0;
    double table = 0.0;
    double datum = 0.0;
    double passes = 0.0;
    double drift = 0.0;
    double form = 0.0;     // the heel's own form carried over to the lobe
    double support = 0.0;  // what V-blocks move the axis by, where that isn't measured
    double temperature = 0.0;
    double degrees_of_freedom = 0.0;        // of noise and encoder
    double drift_degrees_of_freedom = 0.0;  // 0: drift is known as well as it ever will be

    [[nodiscard]] double combined() const;
    /// Expanded uncertainty at 95 %: Student's factor at the effective degrees of freedom
    /// (Welch-Satterthwaite).
    [[nodiscard]] double expanded() const;
};

/// A source of uncertainty: its name, what makes it smaller, and where its part stands.
struct UncertaintySource {
    std::string_view name;
    std::string_view remedy;
    double UncertaintyTerms::*part;
};
inline constexpr auto uncertainty_sources = std::to_array<UncertaintySource>({
    {"noise", "another pass, or a slower turn past the flanks", &UncertaintyTerms::noise},
    {"encoder", "an encoder of more counts a turn", &UncertaintyTerms::encoder},
    {"indicator", "indicators with a smaller error limit, or set against gauge blocks",
     &UncertaintyTerms::indicator},
    {"step", "indicators with a finer step", &UncertaintyTerms::step},
    {"smoothing", "more counts a turn, or a slower turn", &UncertaintyTerms::smoothing},
    {"table", "rows closer together, or an encoder", &UncertaintyTerms::table},
    {"datum", "the front-to-rear zero taken again and averaged", &UncertaintyTerms::datum},
    {"passes", "another pass, with the cam seated the same way", &UncertaintyTerms::passes},
    {"drift", "a rig that has warmed up, and sweeps of two turns or more", &UncertaintyTerms::drift},
    {"form", "nothing on the bench: the heel itself isn't round, and lift is counted from it",
     &UncertaintyTerms::form},
    {"support", "sweeps of the journals in the V-blocks", &UncertaintyTerms::support},
    {"temperature", "both runs at one temperature, and the cam left to soak", &UncertaintyTerms::temperature},
});

/// Two-sided 95 % Student factor; degrees of freedom are real-valued, infinity gives 1.959964. Boost.Math.
double student_factor_95(double degrees_of_freedom);

/// One figure of a lobe's budget; `figure` is its key in the JSON.
struct BudgetLine {
    std::string figure;
    Measured measured;
    UncertaintyTerms terms;
};

/// One source's share of a figure's variance, 0 to 1, with its name and what makes it smaller.
struct BudgetShare {
    std::string_view source;
    std::string_view remedy;
    double share = 0.0;
};

using BudgetShares = std::array<BudgetShare, uncertainty_sources.size()>;

/// All sources of one figure, the largest first.
BudgetShares budget_shares(const UncertaintyTerms& terms);

/// The sources' mean shares over several figures, of whatever units, each figure counting alike; the largest
/// first. All zero for no figure.
BudgetShares budget_shares(const std::vector<UncertaintyTerms>& figures);

/// u95, in the figure's unit, if the largest source were gone and all else stayed, Student's factor too:
/// sqrt(1 - its share) times expanded().
double without_largest(const UncertaintyTerms& terms);

}  // namespace lobewright
