// repeat_figures.hpp: the figures whose scatter is studied, and their values pass by pass.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "analysis/repeat/nested_anova.hpp"
#include "analysis/repeat/repeat_passes.hpp"

namespace lobewright {

/// One lobe's mean and its scatter from pass to pass within runs.
struct LobeScatter {
    std::string lobe;
    double mean = 0.0;  // over all passes; of nose_deg, which is only relative, 0
    MeanSquare passes;
};

/// One figure over all lobes; lengths in mm.
struct RepeatedFigure {
    std::string_view key;    // as in the JSON of inspect, joined by dots
    std::string_view words;  // as a table names it
    bool in_degrees = false;
    bool between_runs =
        true;  // false: depends on how the cam was set up, so only passes within a run compare
    NestedVariances variances;
    std::vector<LobeScatter> lobes;  // that it is known on in every run
};

/// How passes are told apart by run: each run's operator, and whether taper compares between the runs at all (they
/// have a datum, or none).
struct RunsGrouping {
    std::vector<std::size_t> operators;  // by run
    bool tapers_compare = true;
    bool has_datum = true;  // false: taper.base is 0 by definition and isn't studied
};

/// In the order of docs/repeat.md; a figure that isn't known on any lobe is left out.
///
/// Runout, eccentricity and nose_deg depend on how the cam was put in (its axis, its index angle), so they compare
/// within a run only. nose_deg counts from the first pass of its run.
std::vector<RepeatedFigure> repeated_figures(const MeasuredPasses& measured, const RunsGrouping& grouping);

}  // namespace lobewright
