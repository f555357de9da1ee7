#include "analysis/repeat/repeat_notes.hpp"

#include <algorithm>
#include <cmath>

#include <boost/math/distributions/fisher_f.hpp>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace lobewright {
namespace {

// Of all lobes together: one sound cam in a hundred is told so. Ten times as many at 0.1, and a lobe that scatters
// twice as much as the others goes unnoticed at 0.001 with three passes.
constexpr double odd_probability = 0.01;

std::string ids_without_error_limit(const std::vector<Run>& runs) {
    std::vector<std::string> ids;
    for (const Run& run : runs) {
        if (!run.rig.error_limit_mm) ids.push_back(run.info.id);
    }
    return fmt::format("{}", fmt::join(ids, " and "));
}

void note_gaps(std::vector<std::string>& out, const RepeatStudy& study, const std::vector<Run>& runs) {
    if (!study.error_limit_mm) {
        out.push_back(
            fmt::format("[rig] error_limit isn't given in {}: the smallest change holds repeatability only, "
                        "not the indicators' own error, likely the largest part; add it to run.toml",
                        ids_without_error_limit(runs)));
    }
    const NestedVariances& lift = study.figures.front().variances;  // lift.used
    if (study.runs.size() == 1) {
        out.emplace_back(
            "one run can't tell what setting the cam up again adds: the smallest change is that of a cam "
            "that never left the rig; lift it out, set up afresh and take a second run");
    }
    if (lift.operators_in_set_up) {
        out.emplace_back(
            "each operator took one run, so operators and set-ups can't be told apart: set-up to set-up "
            "holds both");
    } else if (study.operators == 1 && study.runs.size() > 1) {
        out.emplace_back("one operator ([run] operator) took all runs: what another would add isn't known");
    }
    if (lift.passes_in_set_up) {
        out.emplace_back(
            "no run has two passes of a lobe: set-up to set-up holds what passes differ by as well");
    }
    if (study.ramp_taper) return;
    out.emplace_back(
        "some runs have a [datum] and some haven't: taper means another thing in each, and only passes "
        "within a run compare");
}

/// Estimates that came out below zero, by kind of scatter.
void note_negatives(std::vector<std::string>& out, const RepeatStudy& study) {
    std::vector<std::string_view> set_ups, operators;
    for (const RepeatedFigure& figure : study.figures) {
        if (figure.variances.set_up.negative) set_ups.push_back(figure.words);
        if (figure.variances.by_operator.negative) operators.push_back(figure.words);
    }
    const auto say = [&](const char* which, const char* below, const std::vector<std::string_view>& figures) {
        if (figures.empty()) return;
        out.push_back(
            fmt::format("{}: {} came out below zero and is set to zero: nothing shows above the scatter "
                        "from {}; its upper limit still counts",
                        which, fmt::join(figures, "; "), below));
    };
    say("set-up to set-up", "pass to pass", set_ups);
    say("operator to operator", "set-up to set-up", operators);
}

/// A lobe whose passes scatter more than those of the others: F test of its mean square against theirs, the level
/// shared out among the lobes (Bonferroni).
void note_odd_lobes(std::vector<std::string>& out, const RepeatedFigure& figure) {
    for (const LobeScatter& lobe : figure.lobes) {
        MeanSquare others;
        for (const LobeScatter& other : figure.lobes) {
            if (&other == &lobe) continue;
            others.value += other.passes.value * other.passes.degrees_of_freedom;
            others.degrees_of_freedom += other.passes.degrees_of_freedom;
        }
        if (!(lobe.passes.degrees_of_freedom > 0.0) || !(others.value > 0.0)) continue;
        others.value /= others.degrees_of_freedom;
        const boost::math::fisher_f spread(lobe.passes.degrees_of_freedom, others.degrees_of_freedom);
        const double ratio = lobe.passes.value / others.value;
        const double level = odd_probability / static_cast<double>(figure.lobes.size());
        if (!(boost::math::cdf(boost::math::complement(spread, ratio)) < level)) continue;
        out.push_back(
            fmt::format("{}: {} scatters {:.1f} times as much from pass to pass as on the other lobes: look "
                        "at its sweeps (inspect --lobe {}) and sweep it again",
                        lobe.lobe, figure.words, std::sqrt(ratio), lobe.lobe));
    }
}

/// Lobes of the cam that a figure's comparison between runs had to leave out.
void note_missing_lobes(std::vector<std::string>& out, const RepeatStudy& study,
                        const MeasuredPasses& measured) {
    const auto& known = study.figures.front().lobes;
    for (const std::string& name : measured.lobes) {
        const bool there = std::any_of(known.begin(), known.end(),
                                       [&](const LobeScatter& lobe) { return lobe.lobe == name; });
        if (!there) out.push_back(fmt::format("{}: left out, as a run has no pass of it that counts", name));
    }
}

}  // namespace

std::vector<std::string> repeat_notes(const RepeatStudy& study, const std::vector<Run>& runs,
                                      const MeasuredPasses& measured) {
    std::vector<std::string> out;
    note_gaps(out, study, runs);
    note_negatives(out, study);
    for (const RepeatedFigure& figure : study.figures) {
        const bool decides =
            figure.key == "lift.used" || figure.key == "taper.opening" || figure.key == "taper.closing";
        if (decides) note_odd_lobes(out, figure);
    }
    note_missing_lobes(out, study, measured);
    if (std::none_of(runs.begin(), runs.end(), [](const Run& run) { return run.datum.has_value(); })) {
        out.emplace_back(
            "no front-to-rear zero ([datum]) is given: taper stands relative to the base circle's");
    }
    out.insert(out.end(), measured.notes.begin(), measured.notes.end());
    return out;
}

}  // namespace lobewright
