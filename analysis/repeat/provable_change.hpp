// provable_change.hpp: the smallest change of a figure that a bench can prove, and how many passes it takes.
//
// A change is proved when its size is above its U at 95 %. Both states, before and after, are measured alike: n
// passes in each of m set-ups, averaged, each state by one operator. The variance of the difference is
//     2 [ pass / (n m) + set_up / m + by_operator + indicator^2 + step^2 + smoothing^2 + table^2 + datum^2 ]
// and Student's factor at its effective degrees of freedom expands it (JCGM 100, G.4, from memory). What stands as
// a square no number of passes averages: it is the same in every pass, and independent between the two states (the
// indicators are elsewhere in their travel by then; docs/decisions/indicator-error.md). The datum averages over
// set-ups where it was taken anew in each: then the scatter between set-ups holds it already, and only what the
// scatter is short of its stated u is added.
//
// Of the other terms of a budget noise, encoder, passes and drift show as scatter; the heel's form and what the
// V-blocks move the axis by are alike in both states and cancel; growth with temperature is left out. Smoothing
// cancels as far as the shape is the same, which a worn nose isn't, so it counts whole.
#pragma once

#include <array>
#include <cstddef>
#include <optional>

#include "analysis/repeat/nested_anova.hpp"

namespace lobewright {

enum class ChangeSource { passes, set_up, by_operator, indicator, datum, step, smoothing, table };
inline constexpr std::size_t change_sources = 8;

/// What no repetition shows: standard uncertainties of one run's figure, in mm.
struct Unrepeated {
    double indicator_mm = 0.0;
    double datum_mm = 0.0;
    double step_mm = 0.0;
    double smoothing_mm = 0.0;
    double table_mm = 0.0;
    bool datum_anew = false;  // each set-up has a datum of its own

    /// The sum of squares, mm^2.
    [[nodiscard]] double variance() const;
};

/// How a state is measured.
struct Plan {
    int passes = 1;   // in each set-up
    int set_ups = 1;  // the cam lifted out between
};

/// The most that is looked at: nobody sweeps a lobe more often for a figure.
inline constexpr Plan largest_plan{12, 6};

struct ProvableChange {
    Plan plan;
    double u95_mm = 0.0;   // a loss above this is proved
    double high_mm = 0.0;  // the same if each scatter is as large as its upper limit at 95 %
    std::array<double, change_sources> shares{};  // of the variance, by ChangeSource

    [[nodiscard]] ChangeSource largest() const;
    [[nodiscard]] double share(ChangeSource source) const { return shares[static_cast<std::size_t>(source)]; }
};

ProvableChange provable_change(const NestedVariances& scatter, const Unrepeated& unrepeated,
                               const Plan& plan);

/// Answer to "how many passes until U is as small as that".
struct PassesNeeded {
    double want_mm = 0.0;
    std::optional<Plan>
        plan;  // fewest set-ups, then fewest passes; none when even the largest plan doesn't reach it
    ProvableChange reached;  // with that plan, or with the largest
};

/// Where no run has two passes of a lobe, only set-ups of one pass can be answered for.
PassesNeeded passes_needed(const NestedVariances& scatter, const Unrepeated& unrepeated, double want_mm);

}  // namespace lobewright
