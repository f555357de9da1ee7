// nested_anova.hpp: how much of the scatter of a figure comes from pass to pass, from set-up to set-up and from
// operator to operator.
//
// Model, for each lobe: value = the lobe's own + operator + set-up of this operator + pass of this set-up, all but
// the first random and independent of each other; numbers of passes may differ. Components by equating sums of
// squares to their expectations (analysis of variance, "Henderson's method I": Searle, Linear Models, 1971;
// Snedecor and Cochran, Statistical Methods; ISO 5725-2 and 5725-3 for two and three levels; all from memory), sums
// and expectations added up over the lobes, so that a component is that of one lobe's figure.
//
// Passes of different lobes are different sweeps: their degrees of freedom add up. What a set-up or an operator does
// may hit all lobes alike (a front-to-rear zero does), and then eight lobes tell no more than one. The degrees of
// freedom there are those of a sum of correlated chi-squares, (trace S)^2 / trace(S^2) times the runs' own with S the
// lobes' matrix of products (Box, Annals of Mathematical Statistics 25, 1954; from memory). S is the estimated one,
// whose trace(S^2) comes out too large: the figure errs to the safe side, and two runs count as one degree.
#pragma once

#include <cstddef>
#include <vector>

#include "analysis/repeat/variance.hpp"

namespace lobewright {

/// The passes of one lobe in one run (one set-up).
struct LobeRun {
    std::size_t lobe = 0;
    std::size_t run = 0;
    std::size_t operator_index = 0;  // the same for all of a run
    std::vector<double> values;      // at least one
};

/// Variances of one lobe's figure.
struct NestedVariances {
    MeanSquare passes, runs,
        operators;             // mean squares as they came; no degrees of freedom where there is no such
    Variance pass;             // repeatability variance
    Variance set_up;           // between the runs of one operator
    Variance by_operator;      // between operators
    Variance reproducibility;  // of a single pass in whatever set-up by whoever: the sum of the known ones
    bool passes_in_set_up = false;     // no run has two passes of a lobe: `set_up` holds both
    bool operators_in_set_up = false;  // each operator has one run: `set_up` holds both
};

/// Every lobe must stand in every run, once. Unknown is what the data can't tell: everything for a single value.
NestedVariances nested_variances(const std::vector<LobeRun>& data);

}  // namespace lobewright
