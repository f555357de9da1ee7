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
    double indicator = 0.0;
    double step = 0.0;
    double smoothing = 0.0;
    double table = 0.0;
    double datum = 0.0;
    double passes = 0.0;
    double drift = 0.0;
    double temperature = 0.0;
    double degrees_of_freedom = 0.0;  // of the noise

    [[nodiscard]] double combined() const;
    /// Expanded uncertainty at 95 %: Student's factor at the effective degrees of freedom
    /// (Welch-Satterthwaite).
    [[nodiscard]] double expanded() const;
};

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

/// All sources of one figure, the largest first.
std::array<BudgetShare, 9> budget_shares(const UncertaintyTerms& terms);

/// The sources' mean shares over several figures, of whatever units, each figure counting alike; the largest
/// first. All zero for no figure.
std::array<BudgetShare, 9> budget_shares(const std::vector<UncertaintyTerms>& figures);

/// u95, in the figure's unit, if the largest source were gone and all else stayed, Student's factor too:
/// sqrt(1 - its share) times expanded().
double without_largest(const UncertaintyTerms& terms);

}  // namespace lobewright
